"""Which drawing belongs to which composition name."""

from collections.abc import Callable, Mapping
from types import MappingProxyType

from seeds.covers import (
    art_air,
    art_animals,
    art_circus,
    art_crime,
    art_dance,
    art_deep,
    art_hearts,
    art_hero,
    art_horror,
    art_jungle,
    art_orbit,
    art_sea,
    art_sextant,
    art_space,
    art_spiral,
    art_train,
    art_west,
    art_wheels,
)
from seeds.covers.issues import Issue
from seeds.covers.plate import Plate

Composition = Callable[[Plate, Issue], None]

COMPOSITIONS: Mapping[str, Composition] = MappingProxyType(
    {
        drawing.__name__: drawing
        for drawing in (
            art_air.biplanes_sunset,
            art_air.submarine_night,
            art_animals.kitchen_cheese,
            art_animals.teacup_voyage,
            art_animals.snow_hill,
            art_circus.circus_ring,
            art_crime.lamp_post,
            art_crime.headlights_bridge,
            art_dance.jukebox_dance,
            art_deep.diver_squid,
            art_hearts.umbrella_rain,
            art_hearts.telephone_tear,
            art_hearts.ferris_wheel,
            art_hero.rooftop_moon,
            art_hero.clock_tower_swing,
            art_hero.bridge_giant,
            art_horror.haunted_house,
            art_horror.candle_hand,
            art_jungle.jungle_idol,
            art_jungle.lost_city,
            art_orbit.moon_postbox,
            art_orbit.derelict_ship,
            art_sea.lighthouse_storm,
            art_sea.whale_longboat,
            art_sextant.balloon_canyon,
            art_sextant.polar_sledge,
            art_space.rocket_ringed_planet,
            art_space.robot_city,
            art_spiral.spiral_stair,
            art_train.train_trestle,
            art_west.mesa_rider,
            art_west.main_street,
            art_wheels.racing_curve,
        )
    }
)
