"""Published one-sheet instances, as facts: sizes, copies, values and proven optima, with who published them.

The sizes and values are those of the papers named, read from a public collection of cutting instances
(github.com/fontanf/packingsolver, data/rectangle). The optima are of cuts from edge to edge, any number of stages;
those without a printed source were computed by exhaustive search apart from this program.
"""

from __future__ import annotations

from dataclasses import dataclass

from layout.cutting.one_sheet.values import ValuedPiece
from layout.cutting.values import Way


@dataclass(frozen=True, kw_only=True, slots=True)
class Instance:
    """A sheet with its items as `length x width * copies = value`, and its optima, None where nobody proved one.

    `fixed` and `turned`: copies as listed, pieces as they are or turned too; `fixed_free` and `turned_free`:
    the same with unlimited copies. `staged`: published optima for two or three stages, none above `fixed`.
    """

    name: str
    source: str
    sheet: tuple[int, int]
    items: str
    fixed: int | None = None
    turned: int | None = None
    fixed_free: int | None = None
    turned_free: int | None = None
    staged: tuple[int, ...] = ()

    def pieces(self, *, turning: bool = False, unlimited: bool = False, scale: int = 1) -> tuple[ValuedPiece, ...]:
        """Return the items as pieces, every side times `scale`."""
        return tuple(
            _piece(f"p{i}", item, turning=turning, unlimited=unlimited, scale=scale)
            for i, item in enumerate(self.items.split())
        )


def _piece(name: str, item: str, *, turning: bool, unlimited: bool, scale: int) -> ValuedPiece:
    size, _, value = item.partition("=")
    sides, _, count = size.partition("*")
    length, width = (int(side) * scale for side in sides.split("x"))
    ways = [Way(length=length, width=width, turned=False)]
    if turning and length != width:
        ways.append(Way(length=width, width=length, turned=True))
    return ValuedPiece(
        name=name, ways=tuple(ways), count=None if unlimited or not count else int(count), value=int(value)
    )


INSTANCES = (
    Instance(
        name="cgcut1",
        source="Christofides & Whitlock 1977",
        sheet=(15, 10),
        items="8x4*2=66 3x7*1=35 8x2*3=24 3x4*5=17 3x3*2=11 3x2*2=8 2x1*1=2",
        fixed=244,
        turned=260,
        fixed_free=249,
        turned_free=278,
    ),
    Instance(
        name="cgcut2",
        source="Christofides & Whitlock 1977",
        sheet=(40, 70),
        items=(
            "21x22*1=582 31x13*1=403 9x35*3=315 9x24*3=216 30x7*2=210 11x13*3=143 10x14*1=140 14x8*3=110 "
            "12x8*3=94 13x7*3=90"
        ),
        fixed=2892,
        turned=2901,
        fixed_free=3076,
        turned_free=3147,
    ),
    Instance(
        name="cgcut3",
        source="Christofides & Whitlock 1977",
        sheet=(40, 70),
        items=(
            "31x43*4=500 30x41*2=480 29x39*4=460 28x38*4=440 27x37*3=420 26x36*4=410 25x35*3=400 24x34*4=380 "
            "33x23*4=360 22x32*3=340 31x21*3=320 29x18*3=300 17x27*2=280 15x24*2=240 16x25*4=260 15x24*1=240 "
            "23x14*4=220 21x12*3=180 19x11*4=160 9x17*1=140"
        ),
        fixed=1860,
        turned=1920,
        fixed_free=2240,
        turned_free=2280,
    ),
    Instance(
        name="W",
        source="Wang 1983",
        sheet=(70, 40),
        items=(
            "17x9*1=153 24x15*1=360 24x15*2=360 25x16*4=400 27x17*2=459 11x19*4=209 12x21*3=252 32x22*3=704 "
            "14x23*4=322 34x24*4=816 35x25*3=875 36x26*4=936 37x27*3=999 38x28*4=1064 18x29*3=522 39x29*4=1131 "
            "41x30*2=1230 21x31*3=651 43x31*4=1333 23x33*4=759"
        ),
        fixed=2721,
        turned=2771,
        fixed_free=2743,
        turned_free=2775,
        staged=(2623, 2599, 2700),
    ),
    Instance(
        name="OF1",
        source="Oliveira & Ferreira 1990",
        sheet=(70, 40),
        items=(
            "29x5*1=145 9x39*4=351 55x9*1=495 31x15*1=465 11x16*2=176 23x21*3=483 29x14*4=406 16x19*3=304 "
            "9x36*2=324 22x4*2=88"
        ),
        fixed=2737,
        turned=2757,
        fixed_free=2758,
        turned_free=2800,
        staged=(2713, 2660, 2713),
    ),
    Instance(
        name="OF2",
        source="Oliveira & Ferreira 1990",
        sheet=(70, 40),
        items=(
            "22x18*2=396 40x10*1=400 13x27*3=351 23x18*2=414 29x8*4=232 16x4*1=64 47x9*1=423 19x19*4=361 "
            "13x16*2=208 36x16*4=576"
        ),
        fixed=2690,
        turned=2769,
        fixed_free=2776,
        turned_free=2800,
        staged=(2515, 2522, 2690),
    ),
    Instance(
        name="HADCHR3",
        source="Hadjiconstantinou & Christofides 1995",
        sheet=(30, 30),
        items="12x21*1=450 17x21*1=570 6x6*1=49 9x15*1=166 5x12*1=69 16x6*1=92 5x4*1=17",
        fixed=1178,
        turned=1272,
        fixed_free=1341,
        turned_free=1379,
    ),
    Instance(
        name="HADCHR11",
        source="Hadjiconstantinou & Christofides 1995",
        sheet=(30, 30),
        items=(
            "22x21*1=828 12x21*1=450 11x18*1=335 17x21*1=570 8x21*1=268 9x17*1=236 5x18*1=128 6x6*1=49 9x15*1=166 "
            "1x19*1=22 5x12*1=69 22x21*1=530 5x6*1=33 16x6*1=92 5x4*1=17"
        ),
        fixed=1270,
        turned=1431,
        fixed_free=1347,
        turned_free=1439,
    ),
    Instance(
        name="HH",
        source="Hifi 1997 on Herz 1972",
        sheet=(127, 98),
        items="21x13*5=273 36x17*4=612 54x20*2=1080 24x27*1=648 18x65*6=1170",
        fixed=11586,
        turned=11949,
        fixed_free=12348,
        turned_free=12387,
        staged=(10689, 9246, 11211),
    ),
    Instance(
        name="CHL5",
        source="Cung, Hifi, Le Cun 2000",
        sheet=(20, 20),
        items="14x2*1=28 1x5*1=5 20x4*2=80 12x3*3=36 11x8*2=88 11x6*2=66 7x9*1=63 17x5*1=85 7x14*2=98 1x7*3=7",
        fixed=390,
        turned=400,
        fixed_free=400,
        turned_free=400,
        staged=(363, 344, 376),
    ),
    Instance(
        name="ngcut1",
        source="Beasley 1985",
        sheet=(10, 10),
        items="3x7*2=35 8x2*2=40 10x2*1=27 5x4*3=23 2x9*2=43",
        fixed=164,
        turned=193,
        fixed_free=243,
        turned_free=243,
    ),
    Instance(
        name="ngcut2",
        source="Beasley 1985",
        sheet=(10, 10),
        items="1x10*3=28 5x3*2=40 9x3*3=63 6x1*3=13 3x8*3=31 4x1*1=10 7x3*2=44",
        fixed=230,
        turned=250,
        fixed_free=280,
        turned_free=280,
    ),
    Instance(
        name="ngcut3",
        source="Beasley 1985",
        sheet=(10, 10),
        items="3x2*2=7 7x2*3=20 4x5*2=60 4x1*2=9 1x10*1=14 8x4*1=79 4x2*2=11 3x7*3=52 6x2*3=13 9x1*2=21",
        fixed=247,
        turned=259,
        fixed_free=268,
        turned_free=282,
    ),
    Instance(
        name="ngcut4",
        source="Beasley 1985",
        sheet=(15, 10),
        items="15x2*2=34 7x3*1=27 9x1*1=14 8x3*1=71 12x2*2=61",
        fixed=268,
        turned=268,
        fixed_free=318,
        turned_free=416,
    ),
    Instance(
        name="ngcut5",
        source="Beasley 1985",
        sheet=(15, 10),
        items="10x3*2=34 9x3*1=48 12x2*3=72 11x3*1=91 12x3*3=37 11x1*3=15 2x10*1=36",
        fixed=358,
        turned=370,
        fixed_free=396,
        turned_free=408,
    ),
    Instance(
        name="ngcut6",
        source="Beasley 1985",
        sheet=(15, 10),
        items="2x9*1=50 10x2*3=29 2x4*1=11 2x8*2=30 3x8*1=46 4x1*1=7 6x4*3=32 10x3*1=74 11x2*1=48 4x5*1=32",
        fixed=289,
        turned=298,
        fixed_free=371,
        turned_free=407,
    ),
    Instance(
        name="ngcut7",
        source="Beasley 1985",
        sheet=(20, 20),
        items="1x9*3=26 16x3*1=113 18x3*1=127 20x2*1=104 3x1*2=4",
        fixed=430,
        turned=430,
        fixed_free=1144,
        turned_free=1144,
    ),
    Instance(
        name="ngcut8",
        source="Beasley 1985",
        sheet=(20, 20),
        items="15x3*1=110 6x6*3=93 13x1*2=38 8x7*2=144 18x5*3=185 12x4*1=78 8x3*1=25",
        fixed=834,
        turned=886,
        fixed_free=1039,
        turned_free=1119,
    ),
    Instance(
        name="ngcut9",
        source="Beasley 1985",
        sheet=(20, 20),
        items=(
            "14x2*1=45 1x5*1=10 20x4*2=139 12x3*3=92 11x8*2=145 11x6*2=123 7x9*1=166 17x5*1=252 7x14*2=161 1x7*3=12"
        ),
        fixed=924,
        turned=924,
        fixed_free=1128,
        turned_free=1136,
    ),
    Instance(
        name="ngcut10",
        source="Beasley 1985",
        sheet=(30, 30),
        items="1x30*3=75 25x7*1=279 27x9*3=409 30x2*3=65 26x7*3=235",
        fixed=1452,
        turned=1452,
        fixed_free=2250,
        turned_free=2250,
    ),
    Instance(
        name="ngcut11",
        source="Beasley 1985",
        sheet=(30, 30),
        items="3x23*3=118 29x5*1=244 21x2*3=81 17x11*3=371 14x7*2=254 8x5*2=78 21x8*1=293",
        fixed=1688,
        turned=1786,
        fixed_free=2113,
        turned_free=2194,
    ),
    Instance(
        name="ngcut12",
        source="Beasley 1985",
        sheet=(30, 30),
        items=(
            "16x6*1=132 24x1*3=29 6x28*3=351 8x23*3=275 5x1*3=10 6x26*2=259 2x30*2=110 9x11*3=240 4x30*1=265 "
            "16x13*1=507"
        ),
        fixed=1865,
        turned=1932,
        fixed_free=2039,
        turned_free=2136,
    ),
    Instance(
        name="H",
        source="Herz 1972",
        sheet=(127, 98),
        items="21x13=273 36x17=612 54x20=1080 24x27=648 18x65=1170",
        fixed_free=12348,
        turned_free=12387,
    ),
    Instance(
        name="gcut1",
        source="Beasley 1985",
        sheet=(250, 250),
        items=(
            "167x184=30728 114x118=13452 167x152=25384 83x140=11620 70x86=6020 143x166=23738 120x160=19200 "
            "66x148=9768 87x141=12267 69x165=11385"
        ),
        fixed_free=56460,
        turned_free=58136,
    ),
    Instance(
        name="gcut2",
        source="Beasley 1985",
        sheet=(250, 250),
        items=(
            "120x133=15960 135x186=25110 86x75=6450 103x73=7519 66x85=5610 135x97=13095 91x175=15925 "
            "131x176=23056 71x176=12496 153x72=11016 87x148=12876 168x107=17976 118x90=10620 140x109=15260 "
            "132x159=20988 152x93=14136 135x68=9180 121x158=19118 68x94=6392 155x76=11780"
        ),
        fixed_free=60536,
        turned_free=60611,
    ),
    Instance(
        name="gcut3",
        source="Beasley 1985",
        sheet=(250, 250),
        items=(
            "66x80=5280 164x107=17548 64x184=11776 121x86=10406 163x135=22005 85x98=8330 81x102=8262 "
            "103x186=19158 152x106=16112 176x139=24464 111x118=13098 69x169=11661 146x133=19418 112x112=12544 "
            "133x160=21280 63x129=8127 163x152=24776 110x155=17050 96x136=13056 92x142=13064 84x143=12012 "
            "119x133=15827 71x71=5041 146x84=12264 93x86=7998 89x86=7654 101x146=14746 172x73=12556 73x169=12337 "
            "99x99=9801"
        ),
        fixed_free=61036,
        turned_free=61626,
    ),
    Instance(
        name="gcut4",
        source="Beasley 1985",
        sheet=(250, 250),
        items=(
            "139x103=14317 166x99=16434 88x74=6512 174x139=24186 128x109=13952 175x179=31325 62x82=5084 "
            "178x87=15486 121x77=9317 125x97=12125 73x84=6132 69x97=6693 122x159=19398 66x69=4554 111x118=13098 "
            "165x86=14190 71x83=5893 163x162=26406 67x132=8844 121x152=18392 68x150=10200 138x124=17112 "
            "141x105=14805 183x122=22326 171x63=10773 101x64=6464 103x95=9785 110x107=11770 184x158=29072 "
            "85x97=8245 86x92=7912 127x155=19685 92x147=13524 106x97=10282 177x108=19116 164x150=24600 68x84=5712 "
            "62x151=9362 123x134=16482 158x178=28124 70x140=9800 173x117=20241 147x136=19992 141x145=20445 "
            "84x164=13776 144x141=20304 92x103=9476 156x98=15288 160x111=17760 127x131=16637"
        ),
        fixed_free=61698,
        turned_free=62265,
    ),
    Instance(
        name="C1_1",
        source="Hopper & Turton 2001",
        sheet=(20, 20),
        items=(
            "2x12*1=24 7x12*1=84 8x6*1=48 3x6*1=18 3x5*1=15 5x5*1=25 3x12*1=36 3x7*1=21 5x7*1=35 2x6*1=12 3x2*1=6 "
            "4x2*1=8 3x4*1=12 4x4*1=16 9x2*1=18 11x2*1=22"
        ),
        fixed=400,
    ),
    Instance(
        name="C1_2",
        source="Hopper & Turton 2001",
        sheet=(20, 20),
        items=(
            "4x1*1=4 4x5*1=20 9x4*1=36 3x5*1=15 3x9*1=27 1x4*1=4 5x3*1=15 4x1*1=4 5x5*1=25 7x2*1=14 9x3*1=27 "
            "3x13*1=39 2x8*1=16 15x4*1=60 5x4*1=20 10x6*1=60 7x2*1=14"
        ),
    ),
    Instance(
        name="C1_3",
        source="Hopper & Turton 2001",
        sheet=(20, 20),
        items=(
            "4x14*1=56 5x2*1=10 2x2*1=4 9x7*1=63 5x5*1=25 2x5*1=10 7x7*1=49 3x5*1=15 6x5*1=30 3x2*1=6 6x2*1=12 "
            "4x6*1=24 6x3*1=18 10x3*1=30 6x3*1=18 10x3*1=30"
        ),
        fixed=400,
    ),
    Instance(
        name="lai1997_1",
        source="Lai & Chan 1997",
        sheet=(400, 200),
        items=(
            "200x100*1=20000 100x50*1=5000 100x50*1=5000 100x100*1=10000 100x120*1=12000 100x60*1=6000 "
            "60x60*1=3600 40x100*1=4000 160x40*1=6400 200x40*1=8000"
        ),
        fixed=76000,
    ),
)
BY_NAME = {instance.name: instance for instance in INSTANCES}
# The best of any layout of OF1, edge to edge or not (Oliveira & Ferreira 1990): not reachable by edge-to-edge cuts.
OF1_ANY_LAYOUT = 2747
