"""Prints without a fault: every stated number is the drawn one, exactly."""

from decimal import Decimal, getcontext
from fractions import Fraction

from drafting import FRACTIONAL, INCH, METRIC, How, Look, Print, Spot, Title, View, new_print, sheet


def winch_base_plate() -> Print:
    """Plan and side view of a plate with four holes, a stepped bore and round corners."""
    pr = new_print("winch-base-plate", "Plate with a stepped bore; fully dimensioned and associated.", INCH)
    sheet(
        pr,
        (17, 11),
        Title("WINCH BASE PLATE", "WBP-101", "6061-T6 PLATE"),
        ("NOTES", "1. BREAK SHARP EDGES.", "2. HOLES THRU UNLESS NOTED.", "3. COUNTERBORE ON TOP FACE ONLY."),
    )
    top = View(pr, ("3.5", "5.25"))
    for a, b in (
        (("0.375", 0), ("4.625", 0)),
        ((5, "0.375"), (5, "3.125")),
        (("4.625", "3.5"), ("0.375", "3.5")),
        ((0, "3.125"), (0, "0.375")),
    ):
        top.line(a, b)
    top.arc(("0.375", "0.375"), "0.375", 180, 270)
    top.arc(("4.625", "0.375"), "0.375", 270, 360)
    top.arc(("4.625", "3.125"), "0.375", 0, 90)
    corner = top.arc(("0.375", "3.125"), "0.375", 90, 180)
    holes = [top.circle(at, "0.281") for at in (("0.5", "0.5"), ("4.5", "0.5"), ("4.5", 3), ("0.5", 3))]
    bore = top.circle(("2.5", "1.75"), "1.25")
    step = top.circle(("2.5", "1.75"), "1.75")
    for at in (("0.5", "0.5"), ("4.5", "0.5"), ("4.5", 3), ("0.5", 3)):
        top.cross(at, "0.25")
    top.cross(("2.5", "1.75"), "1.125")
    top.across((0, "0.375"), ("0.5", "0.5"), "-0.6", How(side=-1))
    top.across(("0.5", "0.5"), ("4.5", "0.5"), "-0.6", How(slide="0.75"))
    top.across((0, "0.375"), ("2.5", "1.75"), "-1.05")
    top.across((0, "0.375"), (5, "0.375"), "-1.5")
    top.upright(("0.375", 0), ("2.5", "1.75"), "-0.6")
    top.upright(("0.375", 0), ("0.375", "3.5"), "-1.25")
    top.upright(("4.625", 0), ("4.5", "0.5"), "5.6", How(side=-1))
    top.upright(("4.5", "0.5"), ("4.5", 3), "5.6")
    top.round_(corner, ("0.375", "3.125"), "0.375", ("-0.6", "0.8"), "0.6", How(text="4X <>"))
    top.round_(step, ("2.5", "1.75"), "0.875", ("-0.28", "0.96"), "1.55", How(text="<> CBORE"), diameter=True)
    top.round_(bore, ("2.5", "1.75"), "0.625", ("0.28", "0.96"), "1.8", diameter=True)
    top.round_(holes[2], ("4.5", 3), "0.1405", ("0.6", "0.8"), "0.95", How(text="4X <>"), diameter=True)
    side = View(pr, (12, "5.25"))
    side.path((0, 0), ("0.375", 0), ("0.375", "3.5"), (0, "3.5"))
    for y in ("0.875", "2.625"):
        side.line((0, y), ("0.125", y), "HIDDEN")
    for y in ("1.125", "2.375"):
        side.line(("0.125", y), ("0.375", y), "HIDDEN")
    side.line(("0.125", "0.875"), ("0.125", "2.625"), "HIDDEN")
    for y in ("0.3595", "0.6405", "2.8595", "3.1405"):
        side.line((0, y), ("0.375", y), "HIDDEN")
    for y in ("0.5", "1.75", "3"):
        side.line(("-0.2", y), ("0.575", y), "CENTER")
    side.across((0, "3.5"), ("0.375", "3.5"), "4.1", How(side=1))
    side.across((0, "2.625"), ("0.125", "2.625"), "-0.6", How(side=1))
    top.label(("2.5", "-2"), "TOP VIEW")
    side.label(("0.1875", "-1.1"), "SIDE VIEW")
    return pr


def _root_three_quarters(length: int) -> Fraction:
    """length * sqrt(3) / 4 as the nearest double's shortest decimal."""
    getcontext().prec = 40
    return Fraction(repr(float(Decimal(3).sqrt() * length / 4)))


def shaft_log_flange() -> Print:
    """Round flange, front view and section; no dimension is associated."""
    pr = new_print("shaft-log-flange", "Round flange with a bolt circle; no dimension is associated.", METRIC, "R2018")
    pr.associated = False
    pr.summary.append("not-associated")
    sheet(
        pr,
        (420, 297),
        Title("SHAFT-LOG FLANGE", "SLF-204", "BRONZE C90500"),
        ("NOTES", "1. BREAK SHARP EDGES.", "2. HOLES EQUALLY SPACED."),
    )
    front = View(pr, (180, 202))
    rim = front.circle((0, 0), 120)
    front.circle((0, 0), 64)
    front.circle((0, 0), 40)
    bolts = front.circle((0, 0), 95, "CENTER")
    rise = _root_three_quarters(95)
    half = Fraction(95, 4)
    centres: list[Spot] = [("47.5", 0), (half, rise), (-half, rise), ("-47.5", 0), (-half, -rise), (half, -rise)]
    holes = [front.circle(at, 9) for at in centres]
    front.line((-68, 0), (68, 0), "CENTER")
    front.line((0, -68), (0, 68), "CENTER")
    front.cross(centres[0], 8, across=False)
    front.cross(centres[3], 8, across=False)
    for n in (1, 2, 4, 5):
        x, y = centres[n]
        front.line(
            (Fraction(x) * Fraction(4, 5), Fraction(y) * Fraction(4, 5)),
            (Fraction(x) * Fraction(6, 5), Fraction(y) * Fraction(6, 5)),
            "CENTER",
        )
    front.angle(None, (0, 0), (centres[0], centres[1]), 76, 60, 0.0)
    front.round_(rim, (0, 0), 60, ("-0.6", "0.8"), 16, diameter=True)
    front.round_(bolts, (0, 0), "47.5", ("-0.96", "0.28"), 34, diameter=True)
    front.round_(holes[2], centres[2], "4.5", ("-0.28", "0.96"), 32, How(text="6X <>"), diameter=True)
    front.line((-80, 0), (-72, 0), "CENTER")
    front.line((72, 0), (73, 0), "CENTER")
    front.label((-84, 0), "A", big=True)
    front.label((90, 0), "A", big=True)
    front.line((78, 0), (86, 0), "CENTER")
    cut = View(pr, (180, 78))
    for s in (1, -1):
        cut.path((20 * s, 0), (60 * s, 0), (60 * s, 12), (36 * s, 12), close=False)
        cut.path((32 * s, 16), (32 * s, 30), (20 * s, 30), close=False)
        cut.line((20 * s, 30), (20 * s, 0))
        for x in ("43", "52"):
            cut.line((Fraction(x) * s, 0), (Fraction(x) * s, 12))
        cut.line((Fraction("47.5") * s, -4), (Fraction("47.5") * s, 16), "CENTER")
    fillet = cut.arc((36, 16), 4, 180, 270)
    cut.arc((-36, 16), 4, 270, 360)
    cut.line((-20, 0), (20, 0))
    cut.line((-20, 30), (20, 30))
    cut.line((0, -5), (0, 35), "CENTER")
    hatch = pr.doc.modelspace().add_hatch(dxfattribs={"layer": "NOTES"})
    hatch.set_pattern_fill("ANSI31", scale=1.0)
    for s in (1, -1):
        bulge = -0.41421356237309503 * -s
        inner = [
            (20, 0, 0.0),
            (43, 0, 0.0),
            (43, 12, 0.0),
            (36, 12, -bulge),
            (32, 16, 0.0),
            (32, 30, 0.0),
            (20, 30, 0.0),
        ]
        outer = [(52, 0, 0.0), (60, 0, 0.0), (60, 12, 0.0), (52, 12, 0.0)]
        for ring in (inner, outer):
            hatch.paths.add_polyline_path([(*cut.put((x * s, y)), b) for x, y, b in ring], is_closed=True)
    cut.across((-20, 0), (20, 0), -14, How(text="%%c<>"))
    cut.across((-32, 30), (32, 30), 40, How(text="%%c<>", slide=12))
    cut.upright((60, 0), (60, 12), 70, How(side=1))
    cut.upright((-60, 0), (-32, 30), -70)
    cut.round_(fillet, (36, 16), 4, ("-0.6", "-0.8"), 22, inside=True)
    cut.label((0, -26), "SECTION A-A")
    return pr


def rudder_bearing_block() -> Print:
    """Three views and a detail at 2:1, drawn as a scaled copy."""
    pr = new_print(
        "rudder-bearing-block", "Three views and a detail at 2:1 with DIMLFAC 0.5 on its dimensions.", METRIC
    )
    sheet(
        pr,
        (420, 297),
        Title("RUDDER BEARING BLOCK", "RBB-310", "ACETAL, NATURAL"),
        ("NOTES", "1. BREAK SHARP EDGES.", "2. GREASE GROOVE ALL ROUND."),
    )
    front = View(pr, (110, 95))
    front.path((-25, 35), (-25, 12), (-40, 12), (-40, 0), (40, 0), (40, 12), (25, 12), (25, 35), close=False)
    crown = front.arc((0, 35), 25, 0, 180)
    bore = front.circle((0, 35), 30)
    front.circle((0, 35), 34, "HIDDEN")
    front.cross((0, 35), 31)
    for x in ("-36.25", "-27.75", "27.75", "36.25"):
        front.line((x, 0), (x, 12), "HIDDEN")
    for s in (-32, 32):
        front.line((s, -4), (s, 16), "CENTER")
    front.across((-32, -4), (32, -4), -14)
    front.across((-40, 0), (40, 0), -24)
    front.upright((40, 0), (40, 12), 50, How(side=1))
    front.upright((-40, 0), (0, 35), -52)
    front.round_(crown, (0, 35), 25, ("0.8", "0.6"), 22)
    front.round_(bore, (0, 35), 15, ("-0.6", "0.8"), 36, diameter=True)
    top = View(pr, (110, 190))
    top.path((-40, 0), (40, 0), (40, 40), (-40, 40))
    for wall in (-25, 25):
        top.line((wall, 0), (wall, 40))
    for wall in (-15, 15):
        top.line((wall, 0), (wall, 40), "HIDDEN")
    hole = top.circle((32, 20), "8.5")
    top.circle((-32, 20), "8.5")
    for hole_x in (-32, 32):
        top.cross((hole_x, 20), "6.5")
    top.line((0, -5), (0, 45), "CENTER")
    top.upright((-40, 0), (-40, 40), -60)
    top.upright((-40, 0), (-32, 20), -50)
    top.round_(hole, (32, 20), "4.25", ("0.6", "0.8"), 28, How(text="2X <>"), diameter=True)
    side = View(pr, (225, 95))
    side.path((0, 0), (40, 0), (40, 60), (0, 60))
    side.line((0, 12), (40, 12))
    for y, z in ((50, 52), (20, 18)):
        side.path((0, y), (18, y), (18, z), (22, z), (22, y), (40, y), close=False, layer="HIDDEN")
    side.line((-5, 35), (45, 35), "CENTER")
    side.circle((20, 51), 14, "CENTER")
    side.label((20, 64), "B", big=True)
    side.across((0, 0), (18, 18), -14)
    detail = View(pr, (300, 85), scale=2)
    detail.path((10, 50), (18, 50), (18, 52), (22, 52), (22, 50), (30, 50), (30, 58), (10, 58))
    hatch = pr.doc.modelspace().add_hatch(dxfattribs={"layer": "NOTES"})
    hatch.set_pattern_fill("ANSI31", scale=1.0)
    ring = ((10, 50), (18, 50), (18, 52), (22, 52), (22, 50), (30, 50), (30, 58), (10, 58))
    hatch.paths.add_polyline_path([detail.put(p) for p in ring], is_closed=True)
    detail.across((18, 50), (22, 50), 44, How(side=1))
    detail.upright((30, 50), (22, 52), 36, How(side=1))
    detail.label((20, 38), "DETAIL B  SCALE 2:1", big=True)
    return pr


def evening_class_exercise() -> Print:
    """A stepped plate in sixteenths and thirty-seconds."""
    pr = new_print(
        "evening-class-exercise", "Stepped plate in fractions (DIMLUNIT 5, stacked texts).", FRACTIONAL, "R2000"
    )
    sheet(
        pr,
        (11, "8.5"),
        Title("STEPPED PLATE", "EVE-007", "MILD STEEL 5/8 FLAT"),
        ("EVENING CLASS EXERCISE", "1. SAW, FILE AND DRILL.", "2. BREAK SHARP EDGES."),
    )
    f = Fraction
    x1, x2, x3 = f(23, 16), f(117, 32), f(21, 4)
    y1, y2, y3 = f(7, 8), f(31, 16), f(45, 16)
    front = View(pr, ("2", "3.85"))
    front.poly((0, 0, 0), (x3, 0, 0), (x3, y1, 0), (x2, y1, 0), (x2, y2, 0), (x1, y2, 0), (x1, y3, 0), (0, y3, 0))
    big = front.circle((f(23, 32), f(19, 16)), f(15, 32))
    small = front.circle((f(71, 16), f(7, 16)), f(5, 16))
    front.cross((f(23, 32), f(19, 16)), f(3, 8))
    front.cross((f(71, 16), f(7, 16)), f(9, 32))
    front.across((0, y3), (x1, y3), f(13, 4))
    front.across((0, y3), (x2, y2), f(59, 16))
    front.across((0, 0), (f(23, 32), f(19, 16)), "-0.5")
    front.across((0, 0), (f(71, 16), f(7, 16)), "-0.95", How(slide="0.6"))
    front.across((0, 0), (x3, 0), "-1.4")
    front.upright((0, 0), (f(23, 32), f(19, 16)), "-0.5")
    front.upright((0, 0), (0, y3), "-1.1")
    front.upright((x3, 0), (f(71, 16), f(7, 16)), x3 + f(1, 2), How(side=-1))
    front.upright((x3, 0), (x3, y1), x3 + f(15, 16))
    front.upright((x3, 0), (x2, y2), x3 + f(11, 8))
    front.round_(big, (f(23, 32), f(19, 16)), f(15, 64), ("0.8", "0.6"), "1.6", diameter=True)
    front.round_(small, (f(71, 16), f(7, 16)), f(5, 32), ("0.28", "0.96"), "1.8", diameter=True)
    side = View(pr, ("9.4", "3.85"))
    side.path((0, 0), (f(5, 8), 0), (f(5, 8), y3), (0, y3))
    side.line((0, y1), (f(5, 8), y1))
    side.line((0, y2), (f(5, 8), y2))
    for y in (f(19, 16) - f(15, 64), f(19, 16) + f(15, 64), f(7, 16) - f(5, 32), f(7, 16) + f(5, 32)):
        side.line((0, y), (f(5, 8), y), "HIDDEN")
    for y in (f(19, 16), f(7, 16)):
        side.line(("-0.15", y), ("0.775", y), "CENTER")
    side.across((0, y3), (f(5, 8), y3), f(13, 4), How(side=1))
    return pr


def mast_step_sheet() -> Print:
    """Model at full size, dimensions on the sheet through a viewport at 1:2."""
    look = Look("SHOP-METRIC", 3.0, metric=True, places=2, lfac=Fraction(2))
    pr = new_print("mast-step-sheet", "Dimensions in paper space through a viewport at 1:2.", look)
    doc = pr.doc
    doc.layouts.rename("Layout1", "SHEET")
    paper = doc.paperspace("SHEET")
    paper.page_setup(size=(297, 210), margins=(0, 0, 0, 0), units="mm")
    sheet(
        pr,
        (297, 210),
        Title("MAST STEP", "MST-412", "STAINLESS 316L", scale="1:2"),
        ("NOTES", "1. BREAK SHARP EDGES.", "2. HOLES THRU."),
        space=paper,
    )
    port = paper.add_viewport(center=(150, 133), size=(230, 90), view_center_point=(160, 66), view_height=180)
    port.dxf.status = 2
    port.dxf.layer = "Defpoints"
    # paper = centre + (model - view centre) / 2
    plan = View(pr, (0, 0), sheet_space=paper, dim_at=(70, 100), dim_scale=Fraction(1, 2))
    plan.poly((0, 0, 0), (240, 0, 0), (240, 140, 0), (0, 140, 0))
    slot = plan.poly((90, 50, 0), (150, 50, 1), (150, 90, 0), (90, 90, 1))
    holes = [plan.circle(at, 14) for at in ((20, 20), (220, 20), (220, 120), (20, 120))]
    for at in ((20, 20), (220, 20), (220, 120), (20, 120)):
        plan.cross(at, 12)
    plan.line((60, 70), (180, 70), "CENTER")
    plan.line((90, 42), (90, 98), "CENTER")
    plan.line((150, 42), (150, 98), "CENTER")
    plan.across((0, 0), (20, 20), -26, How(side=-1))
    plan.across((20, 20), (220, 20), -26)
    plan.across((0, 0), (240, 0), -50)
    plan.upright((0, 0), (20, 20), -20, How(slide=0))
    plan.upright((20, 20), (20, 120), -20)
    plan.upright((0, 0), (0, 140), -44)
    plan.across((0, 140), (90, 70), 160)
    plan.across((90, 70), (150, 70), 160)
    plan.upright((240, 0), (150, 70), 262)
    plan.round_(holes[2], (220, 120), 7, ("0.6", "0.8"), 48, How(text="4X <>"), diameter=True)
    plan.round_(slot, (150, 70), 20, ("0.28", "0.96"), 92, How(text="2X <>"), edge=2)
    side = View(pr, (340, 0), sheet_space=paper, dim_at=(240, 100), dim_scale=Fraction(1, 2))
    side.path((0, 0), (24, 0), (24, 140), (0, 140))
    for y in (13, 27, 50, 90, 113, 127):
        side.line((0, y), (24, y), "HIDDEN")
    for y in (20, 70, 120):
        side.line((-10, y), (34, y), "CENTER")
    side.across((0, 0), (24, 0), -26, How(side=1))
    return pr


def rudder_stock() -> Print:
    """A stepped shaft in the oldest format."""
    pr = new_print("rudder-stock-r12", "Stepped shaft; R12 carries no association and no unit.", INCH, "R12")
    pr.summary.append("not-associated")
    pr.associated = False
    sheet(
        pr,
        (17, 11),
        Title("RUDDER STOCK", "RST-520", "STAINLESS 316 BAR"),
        ("NOTES", "1. BREAK SHARP EDGES.", "2. NO CENTRE HOLES AT FINISHED ENDS."),
    )
    shaft = View(pr, ("2.25", "6.75"))
    h = Fraction(1, 2)
    r1, r2, r3 = Fraction("0.625"), h, Fraction("0.375")
    shaft.path((0, -r1), (6, -r1), (6, r1), (0, r1))
    shaft.path((6, r2), ("8.5", r2), ("8.5", -r2), (6, -r2), close=False)
    shaft.path(("8.5", r3), (10, r3), (10, -r3), ("8.5", -r3), close=False)
    shaft.line(("6.75", "0.125"), ("7.75", "0.125"))
    shaft.line(("6.75", "-0.125"), ("7.75", "-0.125"))
    shaft.arc(("6.75", 0), "0.125", 90, 270)
    key = shaft.arc(("7.75", 0), "0.125", 270, 90)
    shaft.line(("-0.3", 0), ("10.3", 0), "CENTER")
    shaft.line(("6.75", "-0.3"), ("6.75", "0.3"), "CENTER")
    shaft.line(("7.75", "-0.3"), ("7.75", "0.3"), "CENTER")
    shaft.across((0, -r1), (6, -r1), "-1.2")
    shaft.across((0, -r1), ("8.5", -r2), "-1.65")
    shaft.across((0, -r1), (10, -r3), "-2.1")
    shaft.across((6, r1), ("6.75", "0.3"), "1.2", How(side=-1))
    shaft.across(("6.75", "0.3"), ("7.75", "0.3"), "1.2")
    shaft.round_(key, ("7.75", 0), "0.125", ("0.6", "0.8"), "1.3", How(text="2X <>"))
    end = View(pr, ("14.2", "6.75"))
    for d, way, reach in (
        ("1.25", ("-0.6", "0.8"), "0.6"),
        (1, ("0.6", "0.8"), "0.8"),
        ("0.75", ("0.6", "-0.8"), "0.9"),
    ):
        ring = end.circle((0, 0), d)
        end.round_(ring, (0, 0), Fraction(d) / 2, way, reach, diameter=True)
    end.cross((0, 0), "0.85")
    return pr
