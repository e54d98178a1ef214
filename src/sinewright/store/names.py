"""Random pseudonyms: two plain words and a number, from the system's secret source, derived from nothing."""

from __future__ import annotations

import re
import secrets
from collections.abc import Callable

_FIRST = """
amber ample ashen autumn azure basalt bright brisk bronze calm candid cedar cherry chestnut clear clever cloudy
cobalt copper coral cosmic crimson crisp crystal dewy distant early eastern ebony ember emerald evening fair
fern festive flint floral foggy frosty gentle gilded ginger golden granite grassy hazel honest humble indigo
inner ivory jade jolly keen lilac lively local lofty lucid lunar lucky mango maple marble mellow merry mild
minted misty modest morning mossy neat nimble noble northern oaken ochre olive opal open orange outer pearl
pine plain polar polite prime quiet rainy rapid regal rosy round royal ruby rustic saffron sandy scarlet
serene shady silver simple slate smooth snowy solar southern spring steady stony sunny tidal tiny topaz
tranquil vivid warm western wintry wooden
"""
_SECOND = """
acorn alder anchor anvil apple arbor arch aspen badger bamboo barley basin bay beacon beech bell birch bison
boulder bramble breeze bridge brook candle canyon castle cedar cello clover comet compass condor cove crane
creek cricket crow cypress dahlia dawn delta dove dune eagle echo elk elm falcon fern field finch fjord flute
forest fountain fox garden garnet geyser glacier glade grove gull harbor harp hawk heather heron hill holly
island ivy jasmine juniper kestrel kite lagoon lake lantern larch lark laurel lemon lilac linden lotus lynx
magpie maple marsh meadow mesa mill moon moss mountain nutmeg oak ocean olive orchard orchid osprey otter owl
palm peak pebble pepper pine plover plum pond poplar poppy prairie quail quartz rain raven reed reef ridge
river robin rose sage sail sparrow spruce star stone stork stream summit swan swift thistle thrush tulip
valley violet walnut wave wheat willow wren
"""
FIRST, SECOND = tuple(_FIRST.split()), tuple(_SECOND.split())
_SHAPE = re.compile(r"([a-z]+)-([a-z]+)-([1-9][0-9]{3})")
TRIES = 50


def new_name(taken: Callable[[str], bool]) -> str:
    """A pseudonym for which `taken` says no, for instance ``quiet-heron-4821``."""
    for _ in range(TRIES):
        number = 1000 + secrets.randbelow(9000)
        name = f"{secrets.choice(FIRST)}-{secrets.choice(SECOND)}-{number}"
        if not taken(name):
            return name
    raise RuntimeError("no free pseudonym was found")


def is_name(text: str) -> bool:
    """True when `text` is a pseudonym that this room could have drawn."""
    found = _SHAPE.fullmatch(text)
    return found is not None and found[1] in FIRST and found[2] in SECOND
