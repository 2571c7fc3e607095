"""Names of the invented birds, by flock: plants of the shore, stones, waters, trees, weather, hill words."""

from __future__ import annotations

from typing import Final


def _words(text: str) -> tuple[str, ...]:
    return tuple(text.split())


def _couples(text: str) -> tuple[tuple[str, str], ...]:
    """Her name and his, by turns."""
    names = text.split()
    return tuple(zip(names[::2], names[1::2], strict=True))


STILTS: Final = _words(
    """Avens Bistort Betony Campion Clover Comfrey Cowslip Daisy Dock Eyebright Fescue Gorse Heather Ivy
    Juniper Knapweed Linden Mallow Nettle Orchis Privet"""
)

RUFFS: Final = _words(
    "Agate Basalt Cobble Dolomite Emery Feldspar Gabbro Garnet Jasper Mica Onyx Opal Quartz Slate"
)
RUFF_CHICK: Final = "Chip"

SPOONBILLS: Final = _words(
    """Beck Bourne Brook Burn Canal Cascade Channel Creek Culvert Delta Dew Ditch Eddy Estuary Fen Fleet Ford
    Gill Gully Lagoon Leat Lock Marsh Mere Mill Mire Oxbow Pool Puddle Rapid Reach Rill Rivulet Runnel Sluice
    Spring Tarn Weir"""
)

IBISES: Final = _words(
    """Acorn Ash Aspen Beech Birch Bark Bough Box Burr Cedar Cherry Chestnut Cone Copse Crab Cypress Damson
    Dogwood Elder Elm Fir Glade Grove Hawthorn Holly Holm Hornbeam Larch Laurel Leaf Maple Medlar Myrtle Oak
    Olive Pear Pine Plane Plum Poplar Quince Sapling Rosehip Sloe Spruce Sycamore Thicket Twig Willow Yew"""
)
IBIS_CHICKS: Final = ("Catkin", "Samara")

AFRICAN_PAIRS: Final = _couples(
    """Skerry Stack Spume Ledge Brine Cairn Surf Boulder Foam Reef Tide Rook Swell Crag Ebb Anchor
    Ripple Bollard Spray Buoy Breaker Capstan Squall Cleat Haar Davit Drift Fathom Mizzle Gaff Sleet Halyard
    Gust Jib Zephyr Keel Billow Kedge Comber Mast Froth Oar Undertow Quay Doldrum Rudder"""
)

ROCKHOPPER_PAIRS: Final = _couples(
    """Aurora Bluff Blizzard Cape Cirrus Cliff Flurry Fjord Frost Grotto Glacier Gorge Hail Headland
    Icicle Inlet Nimbus Islet Rime Knoll Snowdrop Moraine Stratus Ness Thaw Sound Whiteout Strand"""
)

KEAS: Final = _words("Tussock Ridge Matai Fuchsia Rata Kowhai Schist Gneiss Saddle Cornice Bivvy Totara")
