"""At which addresses another device in the house reaches this server."""

from dataclasses import dataclass
from ipaddress import ip_address

from starlette.requests import Request

from ledger.settings import Settings

__all__ = ["Reach"]


@dataclass(frozen=True, kw_only=True)
class Reach:
    """Where the server listens, and the names it was given there."""

    host: str = "127.0.0.1"
    port: int = 0
    hosts: tuple[str, ...] = ()

    @classmethod
    def of(cls, settings: Settings, port: int) -> "Reach":
        """Of a server that listens on that port."""
        return cls(host=settings.host, port=port, hosts=settings.hosts)

    @property
    def is_open(self) -> bool:
        """It listens to more than this machine."""
        return not _is_loopback(self.host)

    def addresses(self) -> tuple[str, ...]:
        """Addresses that lead here from another device, the likeliest first; none while only this machine is heard."""
        names = (*self.hosts, self.host) if self.is_open else ()
        return tuple(dict.fromkeys(f"http://{_bracketed(name)}:{self.port}" for name in names if _is_of_one(name)))

    def offered(self, request: Request) -> tuple[str, ...]:
        """The address by which a page was asked for, where it is no loopback, and then the others.

        Requires: the name that was asked for is one of this server's.
        """
        name = request.url.hostname or ""
        own = f"{request.url.scheme}://{request.url.netloc}"
        return tuple(dict.fromkeys((*((own,) if _is_of_one(name) else ()), *self.addresses())))

    def base(self, request: Request) -> str:
        """The best address there is for something printed: one that others reach, or else this machine's own."""
        return next(iter(self.offered(request)), f"{request.url.scheme}://{request.url.netloc}")


def _is_loopback(name: str) -> bool:
    """Only this machine is meant. Source: RFC 6761 section 6.3, RFC 1122 section 3.2.1.3, RFC 4291 section 2.5.3."""
    try:
        return ip_address(name.strip("[]")).is_loopback
    except ValueError:
        return name.lower() == "localhost" or name.lower().endswith(".localhost")


def _is_of_one(name: str) -> bool:
    """A name that another device can ask for: neither this machine's own nor one that stands for all of its addresses."""
    try:
        return bool(name) and not _is_loopback(name) and not ip_address(name.strip("[]")).is_unspecified
    except ValueError:
        return True


def _bracketed(name: str) -> str:
    """Source: RFC 3986 section 3.2.2."""
    return f"[{name}]" if ":" in name and not name.startswith("[") else name
