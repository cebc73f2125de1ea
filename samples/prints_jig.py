"""The drill jig, twice: with every fault seeded once, and with look-alikes that are none."""

from dataclasses import replace
from fractions import Fraction

from drafting import INCH, PLAIN, How, Print, Spot, Tie, Title, View, new_print, sheet
from ezdxf.entities.arc import Arc

ROW_A = ("1", "3.315", "4.565", "7.04", "8.04", "9.915", "11.29")
ROW_B = ("0.875", "2.375", "3.375", "5.125", "6", "7.625", "8.625", "9.875", "10.875")
NO_SUCH_HANDLE = "FFF0"


def cleat_drill_jig() -> Print:
    """The faults print."""
    about = "One of each fault, with sound dimensions between; not fully dimensioned."
    pr = new_print("cleat-drill-jig", about, INCH)
    pr.clean = False
    _draw(pr, bad=True)
    return pr


def cleat_drill_jig_near() -> Print:
    """The same print put right, with near-faults."""
    about = "The same jig put right, with near-faults that no rule may speak about."
    pr = new_print("cleat-drill-jig-near", about, INCH)
    _draw(pr, bad=False)
    return pr


def _draw(pr: Print, bad: bool) -> None:
    sheet(
        pr,
        (22, 17),
        Title("CLEAT DRILL JIG", "CDJ-415" if bad else "CDJ-416", "O1 TOOL STEEL"),
        (
            "NOTES", "1. BREAK SHARP EDGES.", "2. HOLES THRU.", "3. LOCATE ON LEFT AND LOWER EDGES.",
            *(() if bad else ("4. GRIND SLIDE FACES.",)),
        ),
    )
    plan = View(pr, ("3.75", "9.25"))
    front = View(pr, ("3.75", "4.9"))
    end = View(pr, ("18.6", "9.25"))
    notches = _plan_outline(pr, plan, bad)
    _plan_inside(pr, plan, bad)
    _plan_dimensions(pr, plan, notches, bad)
    _front(pr, front, bad)
    _end(pr, end, bad)


def _plan_outline(pr: Print, plan: View, bad: bool) -> tuple[Arc, Arc]:
    """Outline and through lines; gives back the lower and the upper notch."""
    plan.line((0, 0), ("6.25", 0))
    lower = plan.arc(("6.75", 0), "0.5", 0, 180)
    plan.line(("7.25", 0), ("11.625", 0))
    plan.line(("11.625", 0), (12, "0.375"))
    plan.line((12, "0.375"), (12, 5))
    plan.line((12, 5), ("9.75", 5))
    upper = plan.arc((9, 5), "0.75", 180, 360)
    top = plan.line(("8.25", 5), ("0.004" if bad else 0, 5))
    left = plan.line((0, 5), (0, 0))
    if bad:
        pr.fault("gap", top, "the top edge ends short of the left edge", None, "0.004", left)
    for x in ("0.5", "4.25", "5.5", "11.625"):
        plan.line((x, 0), (x, 5))
    return lower, upper


def _plan_inside(pr: Print, plan: View, bad: bool) -> None:
    # rail one: its lower edge is drawn in two pieces
    plan.path(("3", "2.25"), ("3", "2.75"), ("1", "2.75"), ("1", "2.25"), close=False)
    one = plan.line(("1", "2.25"), ("2.25", "2.25"))
    two = plan.line(("2" if bad else "2.25", "2.25"), ("3", "2.25"))
    # rail two: its upper edge is drawn twice
    rail = plan.path(("8.75", "2.25"), ("10.5", "2.25"), ("10.5", "2.75"), ("8.75", "2.75"))
    # counterbored hole
    outer = plan.circle(("3.625", "2.5"), "0.5")
    inner = plan.circle(("3.627" if bad else "3.625", "2.5"), "0.25")
    mark = plan.line(("3.275", "2.5"), ("3.975", "2.5"), "CENTER")
    plan.line(("3.625", "2.15"), ("3.625", "2.85"), "CENTER")
    # pocket with a lower edge that is level, or clearly is not
    drop = Fraction("0.003") if bad else Fraction("0.07")
    right = 2 + drop
    base = plan.line(("6.25", 2), ("8.25", right))
    plan.path(("8.25", right), ("8.25", 3), ("6.25", 3), ("6.25", 2), close=False)
    if bad:
        pr.fault("overlapping-lines", two, "two lines of one edge share a piece", None, "0.25", one)
        again = plan.line(("10.5", "2.75"), ("8.75", "2.75"))
        pr.fault("duplicate-line", again, "drawn a second time, the other way round", None, 0, rail[2])
        dot = plan.line(("1", "2.25"), ("1", "2.25"))
        pr.fault("zero-length", dot, "both ends at one point", None, 0)
        pr.fault("nearly-level", base, "one end higher over a length of 2 in", None, "0.003")
        pr.fault("nearly-concentric", inner, "centre beside the counterbore's", None, "0.002", outer)
        return
    pr.quiet("overlapping-lines", two, "meets the other half end to end")
    pr.quiet("nearly-concentric", inner, "truly concentric: a counterbore")
    pr.quiet("nearly-level", base, "two degrees: drawn so on purpose")
    pr.quiet("gap", mark, "a centreline that runs past the outline is no open end")
    cross = plan.line(("8.75", "2.25"), ("10.5", "2.75"))
    plan.line(("8.75", "2.75"), ("10.5", "2.25"))
    pr.quiet("overlapping-lines", cross, "the two lines cross; they share a point, not a piece")
    centre = plan.line(("-0.25", "3.4"), ("12.25", "3.4"), "CENTER")
    pr.quiet("gap", centre, "a centreline crosses the outline without cutting it")
    hatch = pr.doc.modelspace().add_hatch(dxfattribs={"layer": "NOTES"})
    hatch.set_pattern_fill("ANSI31", scale=1.0)
    ring = (("6.25", 2), ("8.25", "2.07"), ("8.25", 3), ("6.25", 3))
    hatch.paths.add_polyline_path([plan.put(p) for p in ring], is_closed=True)
    pr.quiet("gap", hatch, "a hatch is no linework")
    words = plan.label((2, "2.5"), "SLIDE FACE")
    pr.quiet("unreadable-text", words, "a text in the view is no dimension")


def _plan_dimensions(pr: Print, plan: View, notches: tuple[Arc, Arc], bad: bool) -> None:
    holes_a = [plan.circle((x, 4), "0.25") for x in ROW_A]
    holes_b = []
    for x in ROW_B:
        y = "1.125" if bad and x == "9.875" else "1"
        holes_b.append(plan.circle((x, y), "0.125"))
        plan.cross((x, y), "0.15")
    for x in ROW_A:
        plan.cross((x, 4), "0.225")

    # upper row
    high = "5.7"
    first = plan.across((0, 5), ("1", 4), high, PLAIN if bad else How(blank_snap=True))
    if not bad:
        pr.quiet("broken-link", first, "snap points are 0,0,0 in the file; the link is by handle")
    gone = plan.across(("1", 4), ("3.315", 4), high, How(text="2.135" if bad else "<> TYP"))
    plan.across(("3.315", 4), ("4.565", 4), high)
    typed = plan.across(("4.565", 4), ("7.04", 4), high, How(text="2.500" if bad else None))
    plan.across(("7.04", 4), ("8.04", 4), high)
    stale = plan.across(("8.04", 4), ("9.915", 4), high, How(shown="1.750") if bad else How(slide="0.45"))
    twice = plan.across(("9.915", 4), ("11.29", 4), high, How(text="1.3375" if bad else None))
    plan.across((0, 5), (12, 5), "6.3")
    if bad:
        pr.fault("typed-text", gone, "a number typed over the measured one", "2.135", "2.315")
        pr.fault("wrong-value", gone, "two digits changed places", "2.135", "2.315")
        pr.fault("typed-text", typed, "a number typed over the measured one", "2.500", "2.475")
        pr.fault("wrong-value", typed, "typed as it once was meant", "2.500", "2.475")
        pr.fault("stale-text", stale, "the drawn text is of an older state", "1.750", "1.875")
        pr.fault("typed-text", twice, "a number typed over the measured one", "1.3375", "1.375")
        pr.fault("wrong-value", twice, "one digit typed twice", "1.3375", "1.375")
    else:
        pr.quiet("typed-text", gone, "'<> TYP' keeps the measured number")
        last = plan.across(("11.29", 4), (12, 5), high, How(text="(<>)", side=1))
        pr.quiet("typed-text", last, "'(<>)' keeps the measured number, as a reference that closes the chain")

    # lower row
    low = "-0.7"
    loose = plan.across((0, 0), ("0.875", 1), low, How(associated=not bad))
    metric = plan.across(("0.875", 1), ("2.375", 1), low, How(text="38.1" if bad else None))
    plan.across(("2.375", 1), ("3.375", 1), low)
    old = plan.across(("3.375", 1), ("5.125", 1), low, How(stored=Fraction("1.625") if bad else None))
    plan.across(("5.125", 1), ("6", 1), low)
    dead: tuple[Tie | None, ...] | None = None
    moved: tuple[Tie | None, ...] | None = None
    if bad:
        dead = (plan.ties[Fraction(6), Fraction(1)], Tie(NO_SUCH_HANDLE, 3))
        moved = (plan.ties[Fraction("8.625"), Fraction(1)], Tie(str(holes_b[7].dxf.handle), 3))
    lost = plan.across(("6", 1), ("7.625", 1), low, How(ties=dead))
    plan.across(("7.625", 1), ("8.625", 1), low)
    apart = plan.across(("8.625", 1), ("9.875", 1), low, How(ties=moved))
    start = ("9.875", "1.125" if bad else "1")
    dots = plan.across(start, ("10.875", 1), low, How(text="2.5.0" if bad else None))
    if bad:
        pr.fault("not-associated", loose, "the only dimension with no association at all", ".875", "0.875")
        pr.fault("typed-text", metric, "a number typed over the measured one", "38.1", "1.5")
        pr.fault("wrong-value", metric, "millimetres on an inch print (25.4 times)", "38.1", "1.5")
        pr.fault("stale-measurement", old, "group 42 still says 1.625", "1.750", "1.75")
        pr.fault("broken-link", lost, f"tied to {NO_SUCH_HANDLE}, which is not in the file", "1.625", "1.625")
        pr.fault(
            "broken-link", apart, "the tied hole was moved up by .125; the point stayed", "1.250", "1.25",
            holes_b[7],
        )  # fmt: skip
        pr.fault("unreadable-text", dots, "two points in one number", "2.5.0", "1")

    # heights, sizes, the chamfer
    plan.upright((0, 0), ("0.875", 1), "-0.75")
    plan.upright(("0.875", 1), ("1", 4), "-0.75")
    plan.upright((0, 0), (0, 5), "-1.5")
    plan.round_(holes_a[0], ("1", 4), "0.125", ("-0.6", "0.8"), "2.6", How(text="7X <>"), diameter=True)
    plan.round_(holes_b[0], ("0.875", 1), "0.0625", ("-0.6", "-0.8"), "2.75", How(text="9X <>"), diameter=True)
    lower, upper = notches
    plan.round_(lower, ("6.75", 0), "0.5", (0, 1), "0.875", inside=True)
    way: Spot = (0, -1) if bad else ("0.6", "-0.8")
    typed_over = How(text="R1.500" if bad else None)
    wrong = plan.round_(upper, (9, 5), "0.75", way, "1.1" if bad else 1, typed_over, inside=True)
    if bad:
        pr.fault("typed-text", wrong, "a number typed over the measured one", "R1.500", "0.75")
        pr.fault("wrong-value", wrong, "the diameter typed for the radius", "R1.500", "0.75")
    base, chamfer = (("7.25", 0), ("11.625", 0)), (("11.625", 0), (12, "0.375"))
    slope = plan.angle((base, chamfer), ("11.625", 0), (("11.625", 0), (12, "0.375")), "1.25", 45, 0.0)
    if not bad:
        pr.quiet("stale-measurement", slope, "group 42 of an angle is in radians (0.785...), the text in degrees")
        _plan_inside_dimensions(plan)


def _plan_inside_dimensions(plan: View) -> None:
    """What makes the near twin fully dimensioned: the upper notch, the rails, the counterbore and the pocket."""
    plan.across((9, 5), (12, 5), "6")
    plan.across((1, "2.25"), (3, "2.25"), "1.75")
    plan.across((3, "2.25"), ("4.25", 0), "1.75")
    plan.across(("8.75", "2.25"), ("10.5", "2.25"), "1.75")
    plan.across(("10.5", "2.25"), (12, "0.375"), "1.75")
    plan.upright((0, 0), (1, "2.25"), "-2.1")
    plan.upright((1, "2.25"), (1, "2.75"), "-2.1")
    plan.across((0, 5), ("3.625", "2.5"), "3.1", How(slide="-0.3"))
    plan.upright(("6.25", 0), ("3.625", "2.5"), "4.75", How(slide="0.4"))
    plan.across(("6.25", 3), ("8.25", 3), "3.2")
    plan.upright(("6.25", 2), ("6.25", 3), "5.9")
    plan.upright(("8.25", "2.07"), ("8.25", 3), "8.5")
    plan.upright(("7.25", 0), ("6.25", 2), "6.95", How(slide="0.35"))
    plan.call_out(("3.775", "2.7"), ("3.98", "3.1"), "%%c.250 THRU\\P⌴ %%c.500 ↧ .19")


def _front(pr: Print, front: View, bad: bool) -> None:
    front.path((0, 0), (12, 0), (12, "0.75"), ("11.625", "0.75"), ("11.625", "0.4375"), close=False)
    front.path(
        ("11.625", "0.4375"), ("5.5", "0.4375"), ("5.5", "0.34375"), ("4.25", "0.34375"), ("4.25", "0.4375"),
        ("0.5", "0.4375"), ("0.5", "1.09375"), (0, "1.09375"), (0, 0), close=False,
    )  # fmt: skip
    for x in ("6.25", "7.25", "11.625"):
        front.line((x, 0), (x, "0.4375"))
    y = "1.7"
    corner = ("0.5", "1.09375")
    groove = (("4.25", "0.4375"), ("5.5", "0.4375"))
    half = front.across((0, "1.09375"), corner, y, How(side=-1, fraction=not bad))
    plain_tie = front.ties[Fraction("0.5"), Fraction("1.09375")]
    groove_tie = front.ties[Fraction("5.5"), Fraction("0.4375")]
    if bad:
        near = front.across(corner, ("4.238", "0.4375"), y, How(ties=(plain_tie, None)))
        pr.fault(
            "near-miss", near, "one point is .012 short of the groove's edge; 3.738 between points", "3.738", "3.75"
        )
    else:
        near = front.across(corner, ("4.25", "0.5"), y, How(text="(<>)", ties=(plain_tie, None)))
        pr.quiet("near-miss", near, "the point is .0625 off the corner along the extension line, so in line with it")
        pr.quiet("rounded", half, "1/2 stated as a fraction (DIMLUNIT 5) is 1/2 exactly")
    front.across(*groove, y)
    if bad:
        floating = front.across(groove[1], ("8.813", "0.9"), y, How(ties=(groove_tie, None)))
        pr.fault("floating-end", floating, "one point stands in the air", "3.313", "3.313")
    else:
        edge = replace(front.ties[Fraction("6.25"), Fraction(0)], snap=10, along=0.5)
        to_edge = front.across(groove[1], ("6.25", "0.21875"), y, How(ties=(groove_tie, edge)))
        pr.quiet("floating-end", to_edge, "measured to the middle of an edge that stands square to it")
    word = front.across(("11.625", "0.75"), (12, "0.75"), y, How(text="W" if bad else "<>", side=1))
    if bad:
        pr.fault("symbolic", word, "a letter instead of a number", "W", "0.375")
    else:
        pr.quiet("typed-text", word, "a bare '<>' is no override")
        front.path(("6.25", "0.3125"), ("8.25", "0.3125"), ("8.25", "0.4375"), close=False, layer="HIDDEN")
        front.upright(("8.25", "0.3125"), ("11.625", "0.4375"), "9.25", How(side=1))


def _end(pr: Print, end: View, bad: bool) -> None:
    end.path((0, 0), ("0.4375", 0), ("0.75", 0), ("1.09375", 0), ("1.09375", 5), ("0.75", 5), ("0.4375", 5), (0, 5))
    end.line(("0.75", 0), ("0.75", 5))
    for x in ("0.34375", "0.4375"):
        end.line((x, 0), (x, 5), "HIDDEN")
    end.line((0, "0.375"), ("0.75", "0.375"))
    tie = end.across((0, 5), ("0.4375", 5), "5.5", How(side=-1, places=None if bad else 4))
    down = end.across(("0.4375", 5), ("1.09375", 5), "5.5", How(side=1, places=None if bad else 5))
    cut = How(text=".0937", side=1) if bad else How(places=5, side=1)
    depth = end.across(("0.34375", 0), ("0.4375", 0), "-0.7", cut)
    end.across((0, 5), ("0.75", 5), "6", How(side=1))
    if bad:
        pr.fault("rounded", tie, "7/16 at three places, a tie (ends in 4375): both rules give .438", ".438", "0.4375")
        pr.fault("rounded", down, "21/32 at three places", ".656", "0.65625")
        pr.fault("typed-text", depth, "a number typed over the measured one", ".0937", "0.09375")
        pr.fault("cut-off", depth, "3/32 with the last digit cut off; rounding gives .0938", ".0937", "0.09375")
