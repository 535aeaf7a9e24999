"""The invented issues whose covers are drawn: what was printed, by whom, when, at what price and size."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

GOLDEN = (184, 260)
SILVER = (171, 260)


@dataclass(frozen=True)
class Issue:
    """One printed issue of an invented series.

    Units: width_mm and height_mm are the trimmed cover; cover_date is EDTF (year and month); price as printed.
    """

    key: str
    series: str
    start_year: int
    number: str
    publisher: str
    cover_date: str
    price_printed: str
    width_mm: int
    height_mm: int
    composition: str


@dataclass(frozen=True)
class _Series:
    slug: str
    title: str
    start_year: int
    publisher: str


_HARBOR = _Series("harbor-lamp", "Harbor Lamp", 1949, "Slate Heron Publishing")
_CRIMSON = _Series("crimson-semaphore", "Crimson Semaphore", 1940, "Slate Heron Publishing")
_CRIMSON_AGAIN = _Series("crimson-semaphore-1974", "Crimson Semaphore", 1974, "Slate Heron Publishing")
_SEXTANT = _Series("bold-sextant", "Bold Sextant", 1939, "Thistlegate Features")
_GANYMEDE = _Series("ganymede-mail", "Ganymede Mail", 1952, "Thistlegate Features")
_GANYMEDE_AGAIN = _Series("ganymede-mail-1978", "Ganymede Mail", 1978, "Thistlegate Features")
_RAINCOAT = _Series("raincoat-squad", "Raincoat Squad", 1947, "Brindle & Oake")
_DRY_FORD = _Series("dry-ford-deputy", "Dry Ford Deputy", 1950, "Brindle & Oake")
_UMBRELLA = _Series("umbrella-for-two", "Umbrella for Two", 1954, "Nettleby Magazines")
_HETTIE = _Series("jukebox-hettie", "Jukebox Hettie", 1956, "Nettleby Magazines")
_MERIDIAN = _Series("jungle-meridian", "Jungle Meridian", 1948, "Marlpit Picture Press")
_STAIR = _Series("unlit-stair", "The Unlit Stair", 1951, "Marlpit Picture Press")
_STAIR_AGAIN = _Series("unlit-stair-1972", "The Unlit Stair", 1972, "Marlpit Picture Press")
_DUMPLING = _Series("dumpling-and-tack", "Dumpling & Tack", 1946, "Kettle Row Group")
_LINEN = _Series("linen-squadron", "Linen Squadron", 1941, "Kettle Row Group")
_GEARBOX = _Series("gearbox-garrity", "Gearbox Garrity", 1967, "Kettle Row Group")

_ROWS: tuple[tuple[_Series, str, str, str, tuple[int, int], str], ...] = (
    (_SEXTANT, "4", "1939-09", "10¢", GOLDEN, "balloon_canyon"),
    (_SEXTANT, "33", "1942-02", "10¢", GOLDEN, "polar_sledge"),
    (_SEXTANT, "57", "1946-03", "10¢", GOLDEN, "circus_ring"),
    (_CRIMSON, "3", "1940-12", "10¢", GOLDEN, "rooftop_moon"),
    (_CRIMSON, "17", "1943-06", "10¢", GOLDEN, "clock_tower_swing"),
    (_CRIMSON_AGAIN, "6", "1975-08", "25¢", SILVER, "bridge_giant"),
    (_LINEN, "4", "1941-08", "10¢", GOLDEN, "biplanes_sunset"),
    (_LINEN, "20", "1944-12", "10¢", GOLDEN, "submarine_night"),
    (_DUMPLING, "8", "1948-01", "10¢", GOLDEN, "kitchen_cheese"),
    (_DUMPLING, "27", "1954-07", "10¢", GOLDEN, "teacup_voyage"),
    (_DUMPLING, "60", "1961-01", "10¢", SILVER, "snow_hill"),
    (_RAINCOAT, "1", "1947-11", "10¢", GOLDEN, "lamp_post"),
    (_RAINCOAT, "12", "1949-10", "10¢", GOLDEN, "headlights_bridge"),
    (_MERIDIAN, "6", "1949-07", "10¢", GOLDEN, "jungle_idol"),
    (_MERIDIAN, "15", "1951-01", "10¢", GOLDEN, "lost_city"),
    (_HARBOR, "14", "1951-11", "10¢", GOLDEN, "lighthouse_storm"),
    (_HARBOR, "23", "1953-05", "10¢", GOLDEN, "diver_squid"),
    (_HARBOR, "31", "1954-09", "10¢", GOLDEN, "whale_longboat"),
    (_DRY_FORD, "5", "1951-06", "10¢", GOLDEN, "mesa_rider"),
    (_DRY_FORD, "18", "1955-10", "10¢", GOLDEN, "train_trestle"),
    (_DRY_FORD, "41", "1962-02", "12¢", SILVER, "main_street"),
    (_STAIR, "4", "1952-10", "10¢", GOLDEN, "haunted_house"),
    (_STAIR, "13", "1954-02", "10¢", GOLDEN, "candle_hand"),
    (_STAIR_AGAIN, "5", "1973-01", "20¢", SILVER, "spiral_stair"),
    (_GANYMEDE, "2", "1952-09", "10¢", GOLDEN, "rocket_ringed_planet"),
    (_GANYMEDE, "11", "1955-03", "10¢", GOLDEN, "robot_city"),
    (_GANYMEDE, "26", "1960-08", "10¢", SILVER, "moon_postbox"),
    (_GANYMEDE_AGAIN, "3", "1979-03", "35¢", SILVER, "derelict_ship"),
    (_UMBRELLA, "3", "1955-04", "10¢", GOLDEN, "umbrella_rain"),
    (_UMBRELLA, "16", "1958-09", "10¢", SILVER, "telephone_tear"),
    (_UMBRELLA, "38", "1966-05", "12¢", SILVER, "ferris_wheel"),
    (_HETTIE, "9", "1958-06", "10¢", SILVER, "jukebox_dance"),
    (_GEARBOX, "5", "1968-07", "12¢", SILVER, "racing_curve"),
)


def _issue(row: tuple[_Series, str, str, str, tuple[int, int], str]) -> Issue:
    series, number, cover_date, price, (width, height), composition = row
    return Issue(
        key=f"{series.slug}-{number}",
        series=series.title,
        start_year=series.start_year,
        number=number,
        publisher=series.publisher,
        cover_date=cover_date,
        price_printed=price,
        width_mm=width,
        height_mm=height,
        composition=composition,
    )


ISSUES: Mapping[str, Issue] = MappingProxyType({issue.key: issue for issue in map(_issue, _ROWS)})
