"""Instructions at the saw: followed cut by cut, they free what the plan promises."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notchbook.base.spelling import Spelling
from notchbook.jobs import build_saw
from notchbook.measure import Ruler
from notchbook.plan_views.cautions import choose_saw_cautions
from notchbook.planning import Board, Job, Part, Plan, Saw, make_plan
from notchbook.planning.model.plan import Blank, CutBoard, Offcut, Piece, Strip
from notchbook.planning.saw.cut_order import find_cut_tree
from notchbook.planning.saw.cut_tree import Box, Freed, Node, SawBlade, list_leaves
from notchbook.planning.saw.effort import measure_saw_work
from notchbook.planning.saw.offcuts import add_offcuts, list_offcuts
from notchbook.planning.saw.passes import order_passes
from notchbook.planning.saw.setups import list_setups
from notchbook.planning.saw.steps import Limits, list_steps

from .examples import SHOPS, priced

F = Fraction
NONE = F(0)
SAW = Saw(F(1, 8), F(1, 8), F(1, 4), F(12), F(3))
LIMITS = Limits(narrow=F(2), short=F(12), small=F(6), large=F(48))
RULER = Ruler("inch", F(1, 32))


# -- cut trees --------------------------------------------------------------------------------


@st.composite
def cut_apart(draw: st.DrawFn) -> tuple[Box, list[Box], SawBlade]:
    """A rectangle sawn apart at random, some of the parts thrown away, none sawn too deep."""
    area = Box(draw(st.integers(0, 3)), 0, draw(st.integers(8, 60)), draw(st.integers(8, 60)))
    kerf = draw(st.integers(0, 3))
    deepest = draw(st.none() | st.integers(6, 60))
    boxes: list[Box] = []
    heap = [area]
    while heap and len(boxes) + len(heap) < 14:
        box = heap.pop(draw(st.integers(0, len(heap) - 1)))
        axes = [
            axis
            for axis, depth in ((0, box.up), (1, box.across))
            if box[axis + 2] > kerf + 2 and (deepest is None or depth <= deepest)
        ]
        if not axes or draw(st.integers(0, 4)) == 0:
            boxes.append(box)
            continue
        axis = draw(st.sampled_from(axes))
        at = box[axis] + draw(st.integers(1, box[axis + 2] - kerf - 1))
        low, high = list(box), list(box)
        low[axis + 2] = at - box[axis]
        high[axis], high[axis + 2] = at + kerf, box[axis] + box[axis + 2] - at - kerf
        heap += [Box(*low), Box(*high)]
    boxes += heap
    kept = [box for box in boxes if draw(st.integers(0, 5))] or boxes[:1]
    return area, kept, SawBlade(kerf, deepest)


def follow(trees: Sequence[Node], kerf: int, deepest: int | None) -> Counter[tuple[int, ...]]:
    """Saw as the passes say; what lies on the bench at the end, by owner and size."""
    bench: Counter[tuple[int, ...]] = Counter((n, *tree.sizes) for n, tree in enumerate(trees))
    for each in order_passes(trees):
        for sawing in each.sawings:
            piece = (sawing.owner, *sawing.sizes)
            assert bench[piece] >= sawing.times, "there is no such piece"
            assert deepest is None or sawing.sizes[1 - sawing.axis] <= deepest
            bench[piece] -= sawing.times
            width = sawing.sizes[sawing.axis]
            for slab, often in sawing.slabs:
                assert slab.sizes[sawing.axis] == each.fence
                assert slab.sizes[1 - sawing.axis] == sawing.sizes[1 - sawing.axis]
                bench[(sawing.owner, *slab.sizes)] += often * sawing.times
                width -= often * (each.fence + kerf)
            assert width >= -kerf, "more is sawn off than there is"
            assert sawing.left == max(width, 0)
            if sawing.remains is not None:
                assert sawing.remains.sizes == sawing.rest
            if sawing.remains is not None or not sawing.last:
                bench[(sawing.owner, *sawing.rest)] += sawing.times
    return +bench


@given(st.lists(cut_apart(), min_size=1, max_size=3))
def test_following_the_cuts_frees_the_strips(
    layouts: list[tuple[Box, list[Box], SawBlade]],
) -> None:
    """Exactly the boxes lie on the bench at the end, and no cut was deeper than allowed."""
    blade = layouts[0][2]
    trees: list[Node] = []
    wanted: Counter[tuple[int, ...]] = Counter()
    for area, boxes, own in layouts:
        if own != blade:
            continue
        tree = find_cut_tree(area, tuple((box, "") for box in boxes), blade)
        assert Counter(leaf.sizes for leaf in list_leaves(tree)) == Counter(
            (box.across, box.up) for box in boxes
        )
        wanted.update((len(trees), box.across, box.up) for box in boxes)
        trees.append(tree)

    assert follow(trees, *blade) == wanted


def test_many_boxes_are_cut_apart_too() -> None:
    """Beyond what is weighed cut by cut: 400 tiles of 3 x 2 with a kerf of 1."""
    boxes = tuple((Box(4 * i, 3 * j, 3, 2), "") for i in range(20) for j in range(20))
    tree = find_cut_tree(Box(0, 0, 80, 60), boxes, SawBlade(1, None))

    assert follow([tree], 1, None) == {(0, 3, 2): 400}


def test_what_no_cut_right_across_frees() -> None:
    """Four tiles around a fifth: every cut right across hits one of them."""
    tiles = [Box(0, 0, 6, 3), Box(7, 0, 3, 6), Box(4, 7, 6, 3), Box(0, 4, 3, 6), Box(4, 4, 2, 2)]

    with pytest.raises(ValueError, match="no cuts right across"):
        find_cut_tree(Box(0, 0, 10, 10), tuple((tile, "") for tile in tiles), SawBlade(1, None))


def test_a_depth_that_leaves_one_order() -> None:
    """A 6 x 3 with two strips 6 x 1: sawn at 1, 6 deep; not at all where the blade reaches 5."""
    strips = ((Box(0, 0, 6, 1), ""), (Box(0, 2, 6, 1), ""))
    tree = find_cut_tree(Box(0, 0, 6, 3), strips, SawBlade(1, 6))

    assert [each.fence for each in order_passes([tree])] == [1]
    with pytest.raises(ValueError, match="no cuts right across"):
        find_cut_tree(Box(0, 0, 6, 3), strips, SawBlade(1, 5))


def test_a_box_that_is_all_there_is() -> None:
    """Nothing is sawn where nothing need be."""
    assert find_cut_tree(Box(1, 0, 6, 3), ((Box(1, 0, 6, 3), "it"),), SawBlade(1, 1)) == Freed(
        (6, 3), "it"
    )


# -- settings ---------------------------------------------------------------------------------


def slats(*blanks: Blank, count: int = 1) -> Plan:
    """A plan of one kind of 2x4 board, nothing bought."""
    board = CutBoard("spruce", count, count, F(3, 2), F(7, 2), F(96), blanks)
    return Plan("rail", 1, "optimal", F(0), F(0), (board,), (), (), ())


def blank(length: F, *strips: Strip) -> Blank:
    return Blank(length, strips)


def strip(t: F, w: F, x: F, y: F, part: str, *lengths: F, turned: bool = False) -> Strip:
    return Strip(t, w, (x, y), turned, tuple(Piece(part, "rail", length) for length in lengths))


# 3 columns of 1 with two kerfs fill 3 1/4 across; 3 rows of 3/8 leave 1/8 of 1 1/2 up
NINE = [
    strip(F(3, 8), F(1), F(1, 8) + i * F(9, 8), j * F(1, 2), "slat", F(45, 2))
    for i in range(3)
    for j in range(3)
]


def test_nine_slats_of_a_2x4_sentence_by_sentence() -> None:
    """Worked by hand: columns off at 1, each stood on edge at 3/8, and no stop for pieces."""
    plan = slats(*[blank(F(45, 2), *NINE)] * 4, count=2)
    steps = list_steps(plan, SAW, LIMITS, RULER)

    assert [step.text for step in steps] == [
        "Square one end of each board, 1/4 in off with the kerf (2 boards: A), and measure from"
        " that end.",
        "Stop at 22 1/2 in: crosscut 8 of blank 1 (4 from each A).",
        "Fence at 3 3/8 in: lay blank 1 (8 pieces) flat, the straighter edge at the fence, and rip"
        " the other edge straight.",
        "Fence at 3 1/4 in: flip blank 1, the fresh edge at the fence, and clean up the second"
        " edge.",
        "Fence at 1 in (narrow): lay blank 1 (8 pieces) flat and rip each into 3 pieces 1 x 1 1/2.",
        "Fence at 3/8 in (narrow): lay the 24 pieces 1 x 1 1/2 of blank 1 flat and rip 3 strips"
        " 3/8 x 1 off each.",
        "Already 22 1/2 in long, no cut: 72 x slat from 72 strips 3/8 x 1 of blank 1.",
    ]
    assert measure_saw_work(plan, SAW).settings == 5
    assert [step.setting for step in steps if step.tool == "Fence"] == [
        F(27, 8), F(13, 4), F(1), F(3, 8)
    ]  # fmt: skip


def test_settings_are_shared_by_all_boards() -> None:
    """Two boards with the same strips in other places want no further setting of the fence."""
    left = blank(F(20), strip(F(3, 2), F(1), F(1, 8), F(0), "leg", F(20)))
    right = blank(F(20), strip(F(3, 2), F(1), F(19, 8), F(0), "leg", F(20)))

    assert (
        measure_saw_work(slats(left), SAW).settings
        == measure_saw_work(slats(left, right), SAW).settings
        == 4
    )


def test_offcut_of_a_turned_strip_is_ripped_again() -> None:
    """A 1 x 1 off a 1 x 1 1/2 leaves a 3/8 x 1, exactly: two strips by one cut."""
    both = blank(
        F(19),
        strip(F(1), F(1), F(1, 8), F(0), "post", F(19)),
        strip(F(3, 8), F(1), F(1, 8), F(9, 8), "slat", F(19)),
    )
    texts = [step.text for step in list_steps(slats(both), SAW, LIMITS, RULER)]

    assert texts[4:6] == [
        "Fence at 1 in (narrow): lay blank 1 flat and rip 1 piece 1 x 1 1/2 off.",
        "Fence still at 1 in (narrow): lay the piece 1 x 1 1/2 of blank 1 flat and rip 1 strip"
        " 1 x 1 off, leaving 1 strip 3/8 x 1.",
    ]


def test_hazards_are_marked() -> None:
    """Narrow rips, short blanks and small pieces, each by its own limit."""
    short = blank(F(10), strip(F(3, 2), F(1), F(1, 8), F(0), "peg", F(4), F(4)))
    saw = Saw(F(1, 8), F(1, 8), F(1, 4), F(10), F(3))
    marked = {step.text.partition(":")[0]: step.hazards for step in
              list_steps(slats(short), saw, LIMITS, RULER) if step.hazards}  # fmt: skip

    assert marked == {
        "Fence at 3 3/8 in (short)": ("short",),
        "Fence at 3 1/4 in (short)": ("short",),
        "Fence at 1 in (narrow, short)": ("narrow", "short"),
        "Stop at 4 in (small)": ("small",),
    }


def test_a_rounded_setting_says_so() -> None:
    """1.3 is no 32nd: shown as ~1 5/16, with the exact figure beside it."""
    odd = blank(F(20), strip(F(3, 2), F(13, 10), F(1, 8), F(0), "leg", F(20)))
    texts = [step.text for step in list_steps(slats(odd), SAW, LIMITS, RULER)]

    assert texts[4].startswith("Fence at ~1 5/16 in (1.3 exactly) (narrow): ")


def test_panels_use_a_stop_where_the_edge_is_short() -> None:
    """A strip 4 wide is crosscut at 10 with a stop, not along the fence; 2 cuts for 2 pieces."""
    ply = Board("ply", "panel", F(1, 4), F(4), F(40), F(9), 0, True, True)
    part = Part("tag", "rail", 3, F(1, 4), F(4), F(10), ("ply",), False)
    job = Job((part,), (ply,), SAW, F(12))
    texts = [step.text for step in list_steps(make_plan(job, 1, "rail"), SAW, LIMITS, RULER)]

    assert texts == ["Stop at 10 in: from sheet A cut 3 x tag 10 x 4."]


@pytest.mark.parametrize(
    ("reach", "first", "hazards"),
    [
        (None, "Fence at 46 in (large): from the piece 60 x 48 of sheet A cut", ("large",)),
        (F(30), "Guided saw at 46 in (large, wide): from the piece 60 x 48 of sheet A cut", None),
        (F(46), "Fence at 46 in (large): ", ("large",)),
    ],
)
def test_what_the_fence_does_not_reach(
    reach: F | None, first: str, hazards: tuple[str, ...] | None
) -> None:
    """A cut that is wider is made with a guided saw; a sheet longer than 48 is one for two."""
    panel = Board("ply", "panel", F(3, 4), F(48), F(96), F(9), 0, True, True)
    job = Job(
        (Part("top", "desk", 1, F(3, 4), F(46), F(60), ("ply",), False),), (panel,), SAW, F(9)
    )
    steps = list_steps(make_plan(job, 1, "desk"), SAW, replace(LIMITS, reach=reach), RULER)

    (across,) = [step for step in steps if step.setting == 46]
    assert across.text.startswith(first)
    assert across.hazards == (hazards or ("large", "wide"))
    said = choose_saw_cautions(steps, RULER, False, reach, Spelling.AMERICAN)
    assert any(line.startswith("Large (over 48 in): Two people") for line in said)
    beyond = [line for line in said if line.startswith("Wide (over 30 in): No fence reaches")]
    assert len(beyond) == (reach == 30)


def test_one_sheet_lies_open_at_a_time() -> None:
    """What is done to a sheet is done before the next one is begun; all are cut up."""
    found = priced("inch")
    setups = list_setups(found.plans.cuts["card box"], build_saw(found.definitions.settings))
    owners = [sawing.owner for each in setups.sheets for sawing in each.sawings]

    assert owners == sorted(owners)
    assert set(owners) == set(range(len(setups.bench.cut_sheets))) == {0, 1, 2}
    settings = [(each.stop, each.setting) for each in setups.sheets]
    assert all(a != b for a, b in pairwise(settings))  # what stays is set once


# -- offcuts ----------------------------------------------------------------------------------


def kept(length: F, width: F = NONE, thickness: F = NONE) -> Job:
    """A job that says which offcuts are usable."""
    return Job((), (), SAW, length, width, thickness)


def test_offcuts_are_what_the_cuts_leave() -> None:
    """By hand: 95 1/2 - 3 x 29 - 3/8 = 8 1/8 is short; 1 7/8 x 1 1/2 stays."""
    one = blank(F(29), strip(F(5, 4), F(3, 2), F(1, 8), F(0), "leg", F(29), turned=True))
    plan = slats(one, one, one)

    assert list_offcuts(plan, kept(F(12))) == (Offcut("spruce", F(3, 2), F(15, 8), F(29), 3),)
    assert add_offcuts(plan, Job((), (), SAW, F(30))).offcuts == ()


@pytest.mark.parametrize(
    ("width", "thickness", "often"),
    [(F(0), F(0), 1), (F(15, 8), F(3, 2), 1), (F(2), F(0), 0), (F(0), F(25, 16), 0)],
)
def test_narrow_and_thin_offcuts_are_scrap(width: F, thickness: F, often: int) -> None:
    """The offcut of 1 1/2 x 1 7/8 x 29 stays where no more is asked of it."""
    one = blank(F(29), strip(F(5, 4), F(3, 2), F(1, 8), F(0), "leg", F(29), turned=True))
    found = list_offcuts(slats(one, one, one), kept(F(12), width, thickness))

    assert len([left for left in found if left.length == 29]) == often


def test_a_sliver_is_no_offcut() -> None:
    """3 1/4 - 2 7/8 - 1/8 = 1/4 is two kerfs and stays; an eighth less does not."""
    wide = blank(F(29), strip(F(3, 2), F(23, 8), F(1, 8), F(0), "rail", F(29)))
    wider = blank(F(29), strip(F(3, 2), F(3), F(1, 8), F(0), "rail", F(29)))

    assert [o.thickness for o in list_offcuts(slats(wide), kept(F(12))) if o.length == 29] == [
        F(1, 4)
    ]
    assert [o for o in list_offcuts(slats(wider), kept(F(12))) if o.length == 29] == []


# -- example shops ----------------------------------------------------------------------------


@pytest.mark.parametrize("shop", SHOPS)
def test_every_piece_comes_off_the_bench(shop: str) -> None:
    """The pieces that the steps free are those that the plan promises, project by project."""
    for plan in (*priced(shop).plans.cuts.values(), priced(shop).plans.together.plan):
        setups = list_setups(plan, Saw(*_saw(shop)))
        made: Counter[tuple[str, str]] = Counter()
        for _, taken in (*setups.no_cut, *setups.pieces):
            for each in taken:
                made[each.project, each.part] += each.each * each.strips
        for numbered in setups.bench.blanks:
            if not numbered.ripped:
                for piece in numbered.blank.strips[0].pieces:
                    if piece.length == numbered.blank.length:
                        made[piece.project, piece.part] += numbered.count
        by_name = {
            plan.name_part(part, project): (project, part) for project, part in plan.count_made()
        }
        for pattern in setups.bench.cut_sheets:
            for leaf in list_leaves(pattern.tree):
                made[by_name[leaf.mark]] += pattern.count

        assert made == plan.count_made()
        trees = [pattern.tree for pattern in setups.bench.rips]
        scale = setups.bench.scale
        freed = follow(trees, int(_saw(shop)[0] * scale), int(_saw(shop)[4] * scale))
        assert sum(freed.values()) == sum(1 for tree in trees for _ in list_leaves(tree))


def _saw(shop: str) -> tuple[F, F, F, F, F]:
    settings = priced(shop).definitions.settings
    assert settings.deepest_cut is not None
    return (
        settings.kerf,
        settings.squaring,
        settings.end_trim,
        settings.shortest_rip,
        settings.deepest_cut,
    )
