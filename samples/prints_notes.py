"""Prints with call-outs on leaders, a hole table, frames, fits and two units: clean, and fully dimensioned."""

from fractions import Fraction

from drafting import INCH, METRIC, How, Print, Title, View, new_print, sheet

# the drafting font's letters for geometric characteristics and marks (common practice, no source)
POSITION, PERPENDICULAR, RUNOUT, FLATNESS, DIAMETER, AT_MAXIMUM = (f"{{\\Fgdt;{letter}}}" for letter in "jbhcnm")


def anchor_roller_cheek() -> Print:
    """Face and end of a plate with call-outs on leaders; overall sizes in both units."""
    pr = new_print(
        "anchor-roller-cheek", "Call-outs on leaders, a slot, chamfers, overall sizes in both units (DIMALT).", INCH
    )
    sheet(
        pr,
        (17, 11),
        Title("ANCHOR ROLLER CHEEK", "ARC-230", "6061-T6 PLATE"),
        ("NOTES", "1. BREAK SHARP EDGES.", "2. [ ] ARE MILLIMETRES, FOR REFERENCE ONLY."),
    )
    face = View(pr, ("3.75", "4.9"))
    face.line(("0.5", 0), ("6.5", 0))
    corner = face.arc(("6.5", "0.5"), "0.5", 270, 360)
    face.path((7, "0.5"), (7, 3), ("6.5", "3.5"), ("0.5", "3.5"), (0, 3), (0, "0.5"), close=False)
    face.arc(("0.5", "0.5"), "0.5", 180, 270)
    bolts = (("0.75", "0.625"), ("6.25", "0.625"), ("6.25", "2.875"), ("0.75", "2.875"))
    for at in bolts:
        face.circle(at, "0.281")
        face.circle(at, "0.438")
        face.cross(at, "0.35")
    bore = face.circle(("3.5", "2.25"), "0.75")
    for at in (("1.5", "2.25"), ("5.5", "2.25")):
        face.circle(at, "0.159")
        face.arc(at, "0.095", 0, 270)
        face.cross(at, "0.2")
    face.cross(("3.5", "2.25"), "0.55", up=False)
    face.line(("3.5", "-0.2"), ("3.5", "3.7"), "CENTER")
    face.line((3, "1.125"), (4, "1.125"))
    slot = face.arc((4, 1), "0.125", 270, 90)
    face.line((4, "0.875"), (3, "0.875"))
    face.arc((3, 1), "0.125", 90, 270)
    face.line(("2.7", 1), ("4.3", 1), "CENTER")
    for x in ("3", "4"):
        face.line((x, "0.75"), (x, "1.25"), "CENTER")
    # x
    face.across((0, "0.5"), bolts[0], "-0.6", How(side=-1))
    face.across(bolts[0], bolts[1], "-0.6", How(slide=1))
    face.across((0, "0.5"), (3, 1), "-1.05")
    face.across((3, 1), (4, 1), "-1.05")
    face.across((0, "0.5"), (7, "0.5"), "-1.5", How(alternate=1))
    face.across((0, 3), ("1.5", "2.25"), "4.1")
    face.across(("1.5", "2.25"), ("5.5", "2.25"), "4.1", How(slide=1))
    face.across((0, 3), ("3.5", "2.25"), "4.5")
    # y
    face.upright(("0.5", 0), bolts[0], "-0.6")
    face.upright(bolts[0], bolts[3], "-0.6")
    face.upright(("0.5", 0), ("1.5", "2.25"), "-1.2")
    face.upright(("0.5", 0), ("0.5", "3.5"), "-2", How(alternate=1))
    face.upright(("6.5", 0), (4, 1), "7.6")
    # sizes
    face.across(("6.5", "3.5"), (7, 3), "4.1", How(text="2X <> X 45%%d", side=1))
    face.round_(corner, ("6.5", "0.5"), "0.5", ("0.8", "-0.6"), "0.65", How(text="2X <>"))
    face.round_(slot, (4, 1), "0.125", ("0.6", "-0.8"), "0.35", How(text="2X <>"))
    face.round_(bore, ("3.5", "2.25"), "0.375", ("0.6", "0.8"), "0.6", How(plus=".002", minus=".000"), diameter=True)
    face.call_out(("6.4252", "3.0064"), ("7.6", "3.3"), "4X %%c.281 THRU\\PC'BORE %%c.438 X .25 DEEP\\PFOR 1/4-20 SHCS")
    face.call_out(("5.595", "2.25"), ("7.6", "2.4"), "2X #10-32 UNF-2B THRU")
    end = View(pr, ("14.5", "4.9"))
    end.path((0, 0), ("0.5", 0), ("0.5", "3.5"), (0, "3.5"))
    end.line((0, 3), ("0.5", 3))
    for y in ("0.625", "2.875"):
        c = Fraction(y)
        for s in (1, -1):
            end.path((0, c + s * Fraction("0.219")), ("0.25", c + s * Fraction("0.219")), close=False, layer="HIDDEN")
            end.line(("0.25", c + s * Fraction("0.1405")), ("0.5", c + s * Fraction("0.1405")), "HIDDEN")
        end.line(("0.25", c - Fraction("0.219")), ("0.25", c + Fraction("0.219")), "HIDDEN")
    for y in ("1.875", "2.625", "0.875", "1.125"):
        end.line((0, y), ("0.5", y), "HIDDEN")
    for y in ("0.625", "1", "2.25", "2.875"):
        end.line(("-0.2", y), ("0.7", y), "CENTER")
    end.across((0, "3.5"), ("0.5", "3.5"), "4.1", How(alternate=1, side=1))
    face.label(("3.5", "-2"), "FRONT VIEW")
    end.label(("0.25", "-2"), "SIDE VIEW")
    return pr


def engine_mount_plate() -> Print:
    """A plate whose holes stand in a table, counted from its lower left corner."""
    pr = new_print("engine-mount-plate", "Holes located and sized by a table with tags, counted from X0 Y0.", METRIC)
    sheet(
        pr,
        (420, 297),
        Title("ENGINE MOUNT PLATE", "EMP-118", "STEEL S235 PLATE"),
        ("NOTES", "1. BREAK SHARP EDGES.", "2. HOLES THRU."),
    )
    face = View(pr, (55, 120))
    face.line((12, 0), (188, 0))
    face.arc((188, 12), 12, 270, 360)
    face.line((200, 12), (200, 108))
    upper = face.arc((188, 108), 12, 0, 90)
    face.line((188, 120), (12, 120))
    face.arc((12, 108), 12, 90, 180)
    face.line((0, 108), (0, 12))
    face.arc((12, 12), 12, 180, 270)
    face.path((70, 48), (70, 72), close=False)
    face.arc((78, 72), 8, 90, 180)
    face.line((78, 80), (122, 80))
    window = face.arc((122, 72), 8, 0, 90)
    face.line((130, 72), (130, 48))
    face.arc((122, 48), 8, 270, 360)
    face.line((122, 40), (78, 40))
    face.arc((78, 48), 8, 180, 270)
    holes = (
        ("A1", 20, 20, "13.5"), ("A2", 180, 20, "13.5"), ("A3", 180, 100, "13.5"), ("A4", 20, 100, "13.5"),
        ("B1", 40, 60, 9), ("B2", 160, 60, 9), ("C1", 100, 20, 20),
        ("D1", "57.5", 100, "6.6"), ("D2", "142.5", 100, "6.6"),
    )  # fmt: skip
    for tag, x, y, size in holes:
        face.circle((x, y), size)
        reach = Fraction(size) / 2 + 3
        face.cross((x, y), reach)
        face.label((Fraction(x) + reach + 3, Fraction(y) + 4), tag)
    face.label((-8, -6), "X0 Y0")
    rows = [("HOLE", "X", "Y", "%%c"), *((tag, str(x), str(y), str(size)) for tag, x, y, size in holes)]
    face.table((275, 118), (16, 20, 20, 16), rows, "HOLE TABLE")
    face.across((0, 12), (200, 12), -34)
    face.across((0, 12), (70, 48), -16)
    face.across((70, 48), (130, 48), -16)
    face.upright((12, 0), (12, 120), -34)
    face.upright((12, 0), (78, 40), -16)
    face.upright((78, 40), (78, 80), -16)
    face.round_(upper, (188, 108), 12, ("0.6", "0.8"), 22, How(text="4X <>"))
    face.round_(window, (122, 72), 8, ("0.6", "0.8"), 18, How(text="4X <>"), inside=True)
    end = View(pr, (285, 120))
    end.path((0, 0), (15, 0), (15, 120), (0, 120))
    for y in ("13.25", "26.75", "93.25", "106.75", "40", "80", "55.5", "64.5"):
        end.line((0, y), (15, y), "HIDDEN")
    for y in (20, 60, 100):
        end.line((-5, y), (20, y), "CENTER")
    end.across((0, 0), (15, 0), -16)
    return pr


def shaft_coupling() -> Print:
    """A flange with a fitted bore, datums and frames, and the end of its shaft."""
    about = "Fits H7 and h6, datums, feature control frames, a basic bolt circle."
    pr = new_print("shaft-coupling", about, METRIC, "R2018")
    sheet(
        pr,
        (420, 297),
        Title("SHAFT COUPLING", "SCP-076", "STEEL C45"),
        ("NOTES", "1. BREAK SHARP EDGES.", "2. STUB SHAFT TO SLIDE IN THE BORE BY HAND."),
    )
    front = View(pr, (105, 165))
    rim = front.circle((0, 0), 100)
    front.circle((0, 0), 48)
    front.circle((0, 0), 25)
    bolts = front.circle((0, 0), 74, "CENTER")
    holes = [front.circle(at, 9) for at in ((37, 0), (0, 37), (-37, 0), (0, -37))]
    front.line((-56, 0), (56, 0), "CENTER")
    front.line((0, -56), (0, 56), "CENTER")
    for at in ((37, 0), (-37, 0)):
        front.cross(at, 8, across=False)
    for at in ((0, 37), (0, -37)):
        front.cross(at, 8, up=False)
    front.round_(rim, (0, 0), 50, ("-0.6", "0.8"), 14, diameter=True)
    front.round_(bolts, (0, 0), 37, ("0.6", "-0.8"), 30, How(basic=True), diameter=True)
    front.round_(holes[0], (37, 0), "4.5", ("0.6", "0.8"), 62, How(text="4X <> EQ SP"), diameter=True)
    front.frame(("82.5", "46.5"), POSITION, f"{DIAMETER}0.2{AT_MAXIMUM}", "A", "B")
    cut = View(pr, (285, 165))
    for s in (1, -1):
        cut.path((0, "12.5") if s > 0 else (0, "-12.5"), (0, 24 * s), (24, 24 * s), close=False)
        cut.path((28, 28 * s), (28, 50 * s), (42, 50 * s), (42, Fraction("12.5") * s), close=False)
        cut.line((0, Fraction("12.5") * s), (42, Fraction("12.5") * s))
        for y in ("32.5", "41.5"):
            cut.line((28, Fraction(y) * s), (42, Fraction(y) * s))
        cut.line((24, 37 * s), (46, 37 * s), "CENTER")
    fillet = cut.arc((24, 28), 4, 270, 360)
    cut.arc((24, -28), 4, 0, 90)
    for x in (0, 42):
        cut.line((x, "-12.5"), (x, "12.5"))
    cut.line((-6, 0), (48, 0), "CENTER")
    hatch = pr.doc.modelspace().add_hatch(dxfattribs={"layer": "NOTES"})
    hatch.set_pattern_fill("ANSI31", scale=1.0)
    for s in (1, -1):
        inner = (
            (0, "12.5", 0), (42, "12.5", 0), (42, "32.5", 0), (28, "32.5", 0), (28, 28, -1), (24, 24, 0), (0, 24, 0),
        )  # fmt: skip
        outer = ((28, "41.5", 0), (42, "41.5", 0), (42, 50, 0), (28, 50, 0))
        for ring in (inner, outer):
            rows = [(*cut.put((x, Fraction(y) * s)), bulge * s * 0.41421356237309503) for x, y, bulge in ring]
            hatch.paths.add_polyline_path(rows, is_closed=True)
    cut.across((28, -50), (42, -50), -60, How(side=1))
    cut.across((0, -24), (42, -50), -70)
    cut.upright((0, -24), (0, 24), -14, How(text="%%c<>"))
    cut.upright((0, "-12.5"), (0, "12.5"), -30, How(text="%%c<> H7"))
    cut.datum("A", (-30, "-12.5"), (-30, -30))
    cut.round_(fillet, (24, 28), 4, ("0.6", "-0.8"), 20, inside=True)
    cut.frame_at((42, 45), (56, 60), PERPENDICULAR, "0.02", "A")
    cut.frame_at((35, 50), (42, 74), RUNOUT, "0.05", "A")
    cut.datum("B", (42, -46), (54, -46))
    stub = View(pr, (70, 72))
    stub.path(
        (1, "-12.5"), (69, "-12.5"), (70, "-11.5"), (70, "11.5"),
        (69, "12.5"), (1, "12.5"), (0, "11.5"), (0, "-11.5"),
    )  # fmt: skip
    for x in (1, 69):
        stub.line((x, "-12.5"), (x, "12.5"))
    stub.line((-6, 0), (76, 0), "CENTER")
    stub.across((0, "-11.5"), (70, "-11.5"), -22)
    stub.upright((1, "-12.5"), (1, "12.5"), -14, How(text="%%c<> h6 {\\H0.7x;\\S 0^ -0.013;}"))
    stub.across((69, "12.5"), (70, "11.5"), 22, How(text="2X <> X 45%%d", side=1))
    stub.label((35, -32), "STUB SHAFT")
    return pr
