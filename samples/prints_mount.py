"""A bearer with call-outs, a table, frames and fits, twice: each of their faults once, and look-alikes; and a strap."""

from fractions import Fraction

from drafting import METRIC, How, Print, Spot, Title, View, new_print, sheet
from ezdxf.entities.circle import Circle
from prints_notes import AT_MAXIMUM, DIAMETER, FLATNESS, PERPENDICULAR, POSITION


def engine_bearer() -> Print:
    """The faults print."""
    about = "One of each fault of call-outs, tables, frames, fits, two units and views in line."
    pr = new_print("engine-bearer", about, METRIC)
    pr.clean = False
    _draw(pr, bad=True)
    return pr


def engine_bearer_near() -> Print:
    """The same print put right, with near-faults."""
    about = "The same bearer put right, with near-faults that no rule may speak about."
    pr = new_print("engine-bearer-near", about, METRIC)
    _draw(pr, bad=False)
    return pr


def fuel_strap() -> Print:
    """Faults of the sheet as a whole."""
    about = "A millimetre file whose sheet says inches, gives two angles, and has a box without a frame."
    pr = new_print("fuel-strap", about, METRIC)
    pr.clean = False
    words = sheet(
        pr,
        (297, 210),
        Title("FUEL TANK STRAP", "FTS-031", "STAINLESS 304 FLAT", unit="INCHES"),
        ("NOTES", "1. BREAK SHARP EDGES.", "2. TOLERANCE ON ANGLES %%p1%%d."),
    )
    face = View(pr, (70, 120))
    face.path((0, 0), (120, 0), (120, 40), (0, 40))
    holes = [face.circle(at, 9) for at in ((20, 20), (100, 20))]
    for at in ((20, 20), (100, 20)):
        face.cross(at, 8)
    box = face.across((0, 0), (20, 20), -14, How(basic=True))
    face.across((20, 20), (100, 20), -14)
    face.across((0, 0), (120, 0), -28)
    face.upright((0, 0), (20, 20), -14)
    face.upright((0, 0), (0, 40), -28)
    face.round_(holes[1], (100, 20), "4.5", ("0.6", "0.8"), 40, How(text="2X <>"), diameter=True)
    side = View(pr, (230, 120))
    side.path((0, 0), (5, 0), (5, 40), (0, 40))
    side.across((0, 40), (5, 40), 54, How(side=1))
    pr.fault("basic-without-frame", box, "a box, and no frame on the sheet", "20", 20)
    pr.fault("units-disagree", words["DIMENSIONS IN INCHES"], "$INSUNITS says millimetres", None, None)
    twice = words["ANGLES %%p0.5%%d"], words["2. TOLERANCE ON ANGLES %%p1%%d."]
    pr.fault("title-block-unclear", twice[0], "two tolerances of angles", None, None, twice[1])
    return pr


def _draw(pr: Print, bad: bool) -> None:
    sheet(
        pr,
        (594, 420),
        Title("ENGINE BEARER", "EBR-119" if bad else "EBR-120", "STEEL S355 PLATE"),
        ("NOTES", "1. BREAK SHARP EDGES.", "2. TABLE COUNTS FROM THE LOWER LEFT CORNER."),
    )
    plan = View(pr, (125, 215))
    front = View(pr, (125, 110))
    plan.path((0, 0), (240, 0), (240, 140), (0, 140))
    for x in (60, 180):
        plan.line((x, 0), (x, 140))
    for y, x0, x1 in ((20, 8, 232), (70, 24, 178), (120, 8, 232)):
        plan.line((x0, y), (x1, y), "CENTER")
    _holes(pr, plan, bad)
    _plan(pr, plan, bad)
    _table(pr, plan, bad)
    _front(pr, front, bad)


def _plan(pr: Print, plan: View, bad: bool) -> None:
    # across, below
    plan.across((0, 0), (20, 20), -14)
    plan.across((20, 20), (220, 20), -14, How(slide=40))
    plan.across((0, 0), (90, 20), -26)
    plan.across((90, 20), (120, 20), -26)
    plan.across((120, 20), (150, 20), -26)
    dual = plan.across((0, 0), (240, 0), -38, How(text="<> [9.494]" if bad else "<> [9.449]"))
    # across, above
    plan.across((0, 140), (40, 70), 154)
    plan.across((0, 140), (80, 55), 164)
    bore_x = plan.across((0, 140), (160, 70), 176, How(basic=not bad))
    # upright
    low = plan.upright((0, 0), (20, 20), -16, How(plus="0.25", minus="0.1" if bad else "0.10"))
    plan.upright((20, 20), (20, 120), -16, How(slide=24))
    boxed = plan.upright((0, 0), (80, 55), -28, How(basic=True, plus="0.1" if bad else None))
    plan.upright((0, 0), (40, 70), -40)
    high = plan.upright((0, 0), (0, 140), -54, How(associated=not bad))
    if bad:
        words = plan.explode(high)
        pr.fault("exploded-dimension", words, "lines, arrowheads and a text in place of the dimension", "140", 140)
        pr.fault("dual-units-disagree", dual, "two digits changed places; 240 mm are 9.449 in", "240 [9.494]", 240)
        pr.fault("tolerance-places", low, "one and two decimals in the deviations", "20 +0.25/-0.1", 20)
        pr.fault("basic-with-tolerance", boxed, "in a box, with a tolerance", "55±0.1", 55)
        return
    pr.quiet("dual-units-disagree", dual, "240/25.4 = 9.44882 is rounded to 9.449")
    pr.quiet("tolerance-places", low, "both deviations have two decimals; the size needs none")
    pr.quiet("basic-with-tolerance", boxed, "the box holds the value alone")
    pr.quiet("basic-without-frame", bore_x, "the bore has a frame of position")
    pr.quiet("exploded-dimension", high, "a whole dimension: its lines are in its block")


def _holes(pr: Print, plan: View, bad: bool) -> None:
    def holes(size: str, *at: Spot) -> list[Circle]:
        made = []
        for centre in at:
            made.append(plan.circle(centre, size))
            plan.cross(centre, Fraction(size) / 2 + 3, across=False)
        return made

    feet = holes("10" if bad else "11.11", (20, 20), (20, 120))
    r = Fraction("5" if bad else "5.555")
    tip = (20 - r * Fraction(3, 5), 120 + r * Fraction(4, 5))
    words = plan.call_out(tip, (-10, 148), "2X %%c11 THRU" if bad else "2X %%c11.1 THRU")
    if bad:
        pr.fault("hole-note-mismatch", words, "drawn Ø10", "2X Ø11 THRU", 10, feet[1])
    else:
        pr.quiet("hole-note-mismatch", words, "11.1 is the drawn 11.11, rounded")

    rows: list[Spot] = [(90, 20), (120, 20), (150, 20), (90, 120), (150, 120)]
    if not bad:
        rows.append((120, 120))
    holes("6.6", *rows)
    tip = (Fraction("151.98"), Fraction("122.64"))
    words = plan.call_out(tip, (198, 150), "6X %%c6.6 THRU" if bad else "4X %%c6.6 THRU")
    if bad:
        pr.fault("count-mismatch", words, "five are drawn", "6X Ø6.6 THRU", 5)
    else:
        pr.quiet("count-mismatch", words, "two call-outs share the six holes: 4X and 2X")
        plan.call_out((Fraction("91.98"), Fraction("122.64")), (97, 150), "2X %%c6.6 THRU")

    # a blind hole, or a counterbore with its floor at the same depth
    plan.circle((80, 55), 16)
    if not bad:
        plan.circle((80, 55), 8)
    plan.cross((80, 55), 11)
    blind = "%%c16 ↧ 6" if bad else "%%c8 THRU\\P⌴ %%c16 ↧ 6"
    words = plan.call_out((Fraction("84.8"), Fraction("48.6")), (93, 39), blind)
    if bad:
        pr.fault("depth-disagrees", words, "the front view shows 5", "Ø16 ↧ 6", 5)
    else:
        pr.quiet("depth-disagrees", words, "the hole goes on; the floor of the counterbore is 6 down")

    body = "8" if bad else "8.4"
    bolts = holes(body, (220, 20), (220, 120))
    r = Fraction(body) / 2
    tip = (220 + r * Fraction(4, 5), 20 + r * Fraction(3, 5))
    words = plan.call_out(tip, (258, 42), f"2X %%c{body} THRU\\PFOR M8 SHCS")
    if bad:
        pr.fault("fastener-clearance", words, "as wide as the body of the screw", "2X Ø8 THRU FOR M8 SHCS", 8, bolts[0])
    else:
        pr.quiet("fastener-clearance", words, "8.4 is the fine series of clearance holes for M8")

    (bore,) = holes("25", (160, 70))
    fit = "<> H7 (+0.033/0)" if bad else "<> H7 (+0.021/0)"
    sized = plan.round_(bore, (160, 70), "12.5", ("0.96", "0.28"), 88, How(text=fit), diameter=True)
    place = plan.frame((264, 92), POSITION, f"{DIAMETER}0.2{AT_MAXIMUM}", "A", "B", "C")
    (bush,) = holes("20", (40, 70))
    fit = "<> T7" if bad else "<> S7"
    odd = plan.round_(bush, (40, 70), 10, ("-0.28", "0.96"), 18, How(text=fit), diameter=True)
    plan.datum("B", (230, 0), (230, -6))
    plan.datum("C", (240, 60), (252, 60))
    square = plan.frame_at((240, 112), (254, 126), PERPENDICULAR, "0.05", "A", "D" if bad else "B")
    if bad:
        pr.fault("fit-limits-disagree", sized, "+0.033 is H8; H7 at 25 is +0.021", "Ø25 H7 (+0.033/0)", 25)
        pr.fault("position-without-basic", place, "no box around 160 and 70", None, None)
        pr.fault("fit-unknown", odd, "T begins above 24", "Ø20 T7", 20)
        pr.fault("datum-not-defined", square, "there are A, B and C", None, None)
    else:
        pr.quiet("fit-limits-disagree", sized, "the limits of H7 at 25")
        pr.quiet("position-without-basic", place, "160 is boxed")
        pr.quiet("fit-unknown", odd, "S7 there is at 20")
        pr.quiet("datum-not-defined", square, "A and B are defined, by frames on leaders")


def _table(pr: Print, plan: View, bad: bool) -> None:
    off = "128" if bad else "128.004"
    holes = (("T1", "195", "45"), ("T2", "195", "95"), ("T3", off, "95"), ("T4", "105", "95"))
    drawn = []
    for tag, x, y in holes:
        drawn.append(plan.circle((x, y), "4.2"))
        plan.cross((x, y), 4)
        plan.label((Fraction(x) + 8, Fraction(y) + 4), tag)
    rows = [("HOLE", "X", "Y", "%%c"), *((tag, x, y, "4.2") for tag, x, y in holes)]
    rows[3] = ("T3", "182" if bad else "128", "95", "4.2")
    cells = plan.table((330, 140), (16, 20, 20, 16), rows, "HOLE TABLE")
    if bad:
        pr.fault("table-disagrees", cells[3][1], "two digits changed places", "182", 128, drawn[2])
    else:
        pr.quiet("table-disagrees", cells[3][1], "128 is the drawn 128.004, rounded")


def _front(pr: Print, front: View, bad: bool) -> None:
    step = "60.4" if bad else "60"
    lines = front.path((0, 0), (240, 0), (240, 20), (180, 20), (180, 12), (step, 12), (step, 20), (0, 20))
    for x in ("14.445", "25.555", "215.8", "224.2") if not bad else ("15", "25", "216", "224"):
        front.line((x, 0), (x, 20), "HIDDEN")
    for x in ("147.5", "172.5"):
        front.line((x, 0), (x, 12), "HIDDEN")
    floor = 7 if bad else 6
    front.path((72, 12), (72, floor), (88, floor), (88, 12), close=False, layer="HIDDEN")
    if not bad:
        for x in (76, 84):
            front.line((x, 0), (x, 6), "HIDDEN")
    for x in (20, 80, 160, 220):
        front.line((x, -5), (x, 25), "CENTER")
    left = front.across((0, 20), (step, 20), 32)
    between = front.across((step, 20), (180, 20), 32, How(text="(<>) %%p0.5" if bad else "(<>)"))
    front.across((180, 20), (240, 20), 32)
    order = "-0.02^ +0.05" if bad else "+0.05^ -0.02"
    thick = front.upright((240, 0), (240, 20), 268, How(text=f"<> {{\\H0.7x;\\S{order};}}"))
    front.upright((240, 0), (180, 12), 254)
    front.datum("A", (130, 0), (130, -8))
    flat = front.frame_at((205, 0), (212, -16), FLATNESS, "0.1", *(("A",) if bad else ()))
    if bad:
        pr.fault("views-disagree", lines[5], "the step is at 60 in the plan", None, "0.4")
        pr.fault("toleranced-reference", between, "in parentheses, with a tolerance", "(119.6) ±0.5", "119.6")
        pr.fault("tolerance-makes-no-sense", thick, "the minus value above the plus value", "20 -0.02/+0.05", 20)
        pr.fault("frame-makes-no-sense", flat, "flatness from a datum", None, None)
    else:
        pr.quiet("views-disagree", left, "60 in both views; the plan's small holes are left out here")
        pr.quiet("toleranced-reference", between, "a reference without a tolerance")
        pr.quiet("tolerance-makes-no-sense", thick, "the plus value stands above")
        pr.quiet("frame-makes-no-sense", flat, "flatness without a datum")
