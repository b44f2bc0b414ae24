"""What makes the front look like a van. Nothing here can be tapped."""

from __future__ import annotations

from inspect_app.trade.outline_numbers import front
from inspect_app.trade.outline_numbers.board import Board
from inspect_app.trade.outline_numbers.ends import flank, mirrored, pair
from inspect_app.trade.outline_numbers.pen import box, chain, circle, line, path, rounded
from inspect_app.trade.outline_numbers.plan import Plan

SKIN = ("valance_side", "bumper_side", "lamp_side", "wing_side", "pillar_side", "cap")
LAMP = ("bumper_lamp", "lamp_side", "wing_lamp", "bonnet_lamp", "lamp_grille")


def behind(b: Board, plan: Plan) -> None:
    """Draw what lies under the skin, then the skin."""
    e = b.edges
    b.ink("trim", box(-790, 176, 790, 320, 20))
    pair(b, "tyre", rounded((772, 4, 34), (988, 4, 44), (996, 420, 40), (772, 420, 40)).stiff(1030))
    pair(b, "thin", *(line((x, 8), (x, 236)).stiff(1030) for x in (818, 862, 906, 950)))
    if plan.wide:
        _body(b, plan)
    b.ink("body", chain(e["under"], *(e[f"{n}_l"] for n in SKIN), *(e[f"{n}_r"].back() for n in reversed(SKIN))))


def _body(b: Board, plan: Plan) -> None:
    """Draw the wide body that stands out behind the cab, down to its sills."""
    wider = plan.across(1030) / plan.across_cab(1030)
    side = flank(wide=True).cut(z=480.0)[1].moved(lambda y, z: (y * wider, z))
    whole = chain(side, mirrored(side).back())
    body = chain(whole, line(whole.end, whole.start))
    b.ink("body", body)
    b.ink("shade", body)


def on_top(b: Board) -> None:
    """Draw everything on the skin, the lowest first."""
    _bumper(b)
    _face(b)
    _screen(b)
    _roof(b)
    _mirrors(b)


def _bumper(b: Board) -> None:
    e = b.edges
    b.ink("shade", chain(e["under"], e["valance_side_l"], e["valance_bumper"], e["valance_side_r"]))
    b.ink("trim", rounded((-610, 276, 30), (610, 276, 30), (640, 416, 30), (-640, 416, 30)))
    b.ink("thin", *(line((-628, z), (628, z)) for z in (312, 346, 380)))
    pair(b, "trim", rounded((696, 300, 30), (900, 320, 40), (930, 428, 30), (716, 416, 30)))
    pair(b, "lamp", circle(812, 366, 44))
    pair(b, "thin", circle(812, 366, 30))
    b.ink("line", e["valance_bumper"])
    b.ink("thin", path("M -1014 708 C -700 748 -400 752 0 752 C 400 752 700 748 1014 708"))
    b.ink("trim", front.SENSOR)
    pair(b, "trim", circle(440, 560, 15), circle(850, 580, 15))
    b.ink("body", front.PLATE)
    b.ink("thin", front.PLATE.grown(-12), circle(-190, 656, 6), circle(190, 656, 6))


def _face(b: Board) -> None:
    e = b.edges
    for s in ("l", "r"):
        b.ink("lamp", chain(*(e[f"{name}_{s}"] for name in LAMP)))
    pair(
        b,
        "thin",
        circle(668, 956, 74),
        circle(668, 956, 54),
        circle(838, 986, 62),
        circle(838, 986, 44),
        circle(968, 1030, 30),
    )
    pair(b, "thin", path("M 530 862 C 690 874 860 880 1000 884"), path("M 534 882 C 690 892 860 898 1006 902"))
    b.ink(
        "trim",
        path(
            "M -470 850 C -300 836 300 836 470 850 C 486 916 496 982 500 1036 C 300 1056 -300 1056 -500 1036 "
            "C -496 982 -486 916 -470 850 Z"
        ),
    )
    for z, half in ((888, 476), (944, 486), (1000, 492)):
        b.ink(
            "body",
            path(
                f"M {-half} {z} C -300 {z - 10} 300 {z - 10} {half} {z} L {half + 2} {z + 16} "
                f"C 300 {z + 6} -300 {z + 6} {-half - 2} {z + 16} Z"
            ),
        )
    b.ink("line", e["bumper_grille"], e["bonnet_grille"])
    pair(b, "line", chain(e["bonnet_lamp_l"], e["bonnet_wing_l"]), e["lamp_grille_l"], e["wing_lamp_l"])
    pair(b, "thin", path("M 470 1082 C 520 1160 600 1300 640 1396"), path("M 1028 1250 C 980 1262 930 1268 874 1262"))


def _screen(b: Board) -> None:
    e = b.edges
    scuttle = chain(e["bonnet_scuttle"], e["scuttle_pillar_l"], e["scuttle_screen"], e["scuttle_pillar_r"])
    b.ink("trim", scuttle)
    b.ink("thin", *(line((x, 1412), (x + 120, 1412)) for x in range(-700, 700, 160)))
    screen = chain(e["scuttle_screen"], e["screen_pillar_l"], e["screen_cap"], e["screen_pillar_r"])
    b.ink("trim", screen)
    b.ink("glass", screen.grown(-16))
    pair(
        b,
        "shade",
        rounded(
            (300, 1496, 20),
            (600, 1496, 20),
            (560, 1640, 50),
            (520, 1650, 30),
            (512, 1790, 50),
            (388, 1790, 50),
            (380, 1650, 30),
            (340, 1640, 50),
        ),
    )
    b.ink("shade", path("M -846 1500 C -500 1540 500 1540 846 1500 L 852 1490 C 500 1484 -500 1484 -852 1490 Z"))
    b.ink(
        "trim", rounded((-62, 2062, 6), (-46, 1978, 16), (46, 1978, 16), (62, 2062, 6)), box(-110, 1916, 110, 1976, 26)
    )
    b.ink("thin", line((-560, 1640), (-330, 2000)), line((-480, 1640), (-328, 1878)))
    for side, ((x0, z0), (x1, z1)) in front.WIPER_LINES.items():
        b.ink("trim", front.WIPERS[side])
        b.ink("trim", circle(x0 + 6, z0, 16))
        b.ink("thin", line((x0, z0 - 4), (x1 + 240, z1 - 20)))
    pair(b, "line", e["wing_pillar_l"], e["pillar_cap_l"])


def _roof(b: Board) -> None:
    b.ink("thin", path("M -944 2200 C -700 2236 700 2236 944 2200"))
    b.ink(
        "thin",
        path("M -868 2330 C -850 2480 -800 2560 -690 2586 C -440 2624 440 2624 690 2586 C 800 2560 850 2480 868 2330"),
    )
    pair(b, "lamp", box(610, 2512, 690, 2534, 10))
    b.ink("trim", box(-200, 2700, 200, 2748, 12).stiff(0, 2700))


def _mirrors(b: Board) -> None:
    pair(b, "body", front.MIRROR)
    pair(b, "thin", path("M 1080 1500 C 1140 1484 1230 1484 1290 1500"))
    pair(b, "lamp", rounded((1120, 1424, 8), (1270, 1432, 8), (1270, 1452, 8), (1120, 1444, 8)))
