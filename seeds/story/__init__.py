"""The story: four years of one collector, told act by act through the use cases."""

from seeds.story._acts import Act, Told
from seeds.story._telling import all_acts, tell

__all__ = ["Act", "Told", "all_acts", "tell"]
