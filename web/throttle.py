"""How often a password or the one-time link may be tried, and how often an address that is a secret may be missed."""

import time
from dataclasses import dataclass
from ipaddress import IPv6Address, ip_address, ip_network
from typing import Final

from limits import RateLimitItem, RateLimitItemPerMinute
from limits.storage import MemoryStorage
from limits.strategies import MovingWindowRateLimiter

from web.refusals import TooManyTriesError

__all__ = ["Throttle", "Tries"]

FROM_ONE: Final = RateLimitItemPerMinute(10, 10)
"""Ten tries in ten minutes for one person from one address."""
FROM_ALL: Final = RateLimitItemPerMinute(100, 10)
"""A hundred for one person from all addresses together: our assumption, so that many addresses are no way round."""
HELD: Final = RateLimitItemPerMinute(15, 10)
"""Forms held for one address in ten minutes: fewer than may wait at once. Our assumption."""
MISSED: Final = RateLimitItemPerMinute(10, 10)
"""Wrong secret addresses from one network in ten minutes. They are counted by themselves: any page elsewhere can make a
browser ask for some, and that must keep nobody from signing in. A right one is never counted. Our assumption."""
_NETWORK_BITS: Final = 64
"""What one household is given of the long addresses, so these bits count as one address. Source: RFC 6177 section 2."""


class Throttle:
    """Counts tries in memory; a restart forgets them."""

    def __init__(self) -> None:
        self._limiter = MovingWindowRateLimiter(MemoryStorage())

    def count(self, person: str, address: str) -> None:
        """One more try; it is counted before anything is compared.

        Raises: TooManyTriesError.
        """
        for limit, names in self._limits(person, address):
            self._hit(limit, names)

    def hold(self, address: str) -> None:
        """One more form is held for that address.

        Raises: TooManyTriesError.
        """
        self._hit(HELD, ("form", _network(address)))

    def miss(self, address: str) -> None:
        """One more address that is a secret was asked for and is none.

        Raises: TooManyTriesError.
        """
        self._hit(MISSED, ("secret", _network(address)))

    def forget(self, person: str, address: str) -> None:
        """The right one was given: earlier tries from there do not count any more."""
        limit, names = self._limits(person, address)[0]
        self._limiter.clear(limit, *names)

    def _hit(self, limit: RateLimitItem, names: tuple[str, ...]) -> None:
        if not self._limiter.hit(limit, *names):
            wait = self._limiter.get_window_stats(limit, *names).reset_time - time.time()
            raise TooManyTriesError(wait=max(1, int(wait) + 1))

    def _limits(self, person: str, address: str) -> tuple[tuple[RateLimitItem, tuple[str, ...]], ...]:
        return ((FROM_ONE, (person, _network(address))), (FROM_ALL, (person,)))


@dataclass(frozen=True)
class Tries:
    """The tries for one person from one address."""

    throttle: Throttle
    person: str
    address: str

    def count(self) -> None:
        """As `Throttle.count`."""
        self.throttle.count(self.person, self.address)

    def hold(self) -> None:
        """As `Throttle.hold`."""
        self.throttle.hold(self.address)

    def miss(self) -> None:
        """As `Throttle.miss`."""
        self.throttle.miss(self.address)

    def forget(self) -> None:
        """As `Throttle.forget`."""
        self.throttle.forget(self.person, self.address)


def _network(address: str) -> str:
    try:
        known = ip_address(address)
    except ValueError:
        return address
    if isinstance(known, IPv6Address) and known.ipv4_mapped is None:
        return str(ip_network((known, _NETWORK_BITS), strict=False))
    return str(known)
