"""Everything that the program loads while it starts: what is forked from a process that has this has it too."""

import ledger.bootstrap
import seeds.demo
import web.app
import web.cli
import web.commands.phone
import web.commands.serving
import web.door
import web.logs
import web.pairing
import web.serving

__all__ = ["ledger", "seeds", "web"]
