"""The order of a skill drawn as SVG, by drawsvg: the same text for the same skill."""

from __future__ import annotations

import sys
from textwrap import wrap

import drawsvg

from coach.procedure.model import Skill
from coach.procedure.order_graph import Edge, Node, OrderGraph, order_graph
from coach.procedure.sheet import CAUTION

WIDE, HIGH = 190, 112
"""Pixels from one step to the next, sideways and downwards."""

BOX_WIDE, BOX_HIGH = 172, 72
"""Pixels of a step's box."""

MARGIN = 24
HEAD = 64
"""Pixels above the first row, whose boxes begin a little lower."""

HEAD_LINES = 3
"""Lines of choices that fit above the first row."""

FOOT = 92
LINE = 15
"""Pixels from one line beside the boxes to the next."""

LETTER_WIDE = 6.6
"""Pixels of a letter beside the boxes, on the average and a little more."""

LEAST_WIDE = 640
"""Pixels that the legend needs."""

LETTERS = 18
"""Letters of a name on a line of its box."""

LETTER_HIGH, LINE_HIGH = 16, 17
"""Pixels of the letters in a box, and from one line of them to the next."""

INK, FAINT = "#111", "#777"
FONT = "Helvetica, Arial, sans-serif"


PAPER_WIDE, PAPER_HIGH = 190, 277
"""Millimetres of A4 (ISO 216: 210 by 297) within the margins of the printed page."""

LIMITS = (sys.maxsize, 8, 7, 6, 5, 4, 3)
"""Steps in a row that are tried; of layouts alike, the first."""


def graph_for_paper(skill: Skill) -> OrderGraph:
    """The graph of a skill as chosen, laid out so that it is largest on a sheet of A4."""
    return max((order_graph(skill, most) for most in LIMITS), key=lambda g: _scale(*_size(g)))


def _size(graph: OrderGraph) -> tuple[float, float]:
    """Width and height of the picture in pixels."""
    width = max(graph.columns * WIDE + 2 * MARGIN, LEAST_WIDE)
    return width, HEAD + graph.rows * HIGH + FOOT


def _scale(width: float, height: float) -> float:
    """Millimetres of a pixel on the page, lying where the picture is wide."""
    wide, high = (PAPER_HIGH, PAPER_WIDE) if width > height else (PAPER_WIDE, PAPER_HIGH)
    return round(min(wide / width, high / height), 4)


def svg_picture(title: str, chosen: tuple[str, ...], graph: OrderGraph) -> str:
    """The picture as text: steps as boxes from top to bottom, lines to what waits for them."""
    inner = graph.columns * WIDE
    width, least_high = _size(graph)
    letters = int((width - 2 * MARGIN) / LETTER_WIDE)
    only_if = _only_if(graph, letters)
    choices = wrap("; ".join(chosen), letters)
    lower = LINE * max(len(choices) - HEAD_LINES, 0)
    height = least_high + lower + LINE * len(only_if)
    drawing = drawsvg.Drawing(
        width, height, id_prefix="w", font_family=FONT, role="img", aria_label=f"Order of {title}"
    )
    drawing.append_css(_on_paper(width, height))
    drawing.append(drawsvg.Rectangle(0, 0, width, height, fill="white"))
    drawing.append(drawsvg.Text(title, 20, MARGIN, 32, font_weight="bold", fill=INK))
    for place, line in enumerate(choices):
        drawing.append(drawsvg.Text(line, 12, MARGIN, 50 + LINE * place, fill=FAINT))
    left = (width - inner) / 2
    arrows = {True: _arrow(INK), False: _arrow(FAINT)}
    boxes = {node.step: node for node in graph.nodes}
    order = drawsvg.Group(transform=f"translate(0,{lower})")
    for edge in graph.edges:
        order.append(_line(edge, boxes, left, arrows[edge.safety]))
    for node in graph.nodes:
        order.append(_box(node, left))
    drawing.append(order)
    below = HEAD + lower + graph.rows * HIGH + 24
    _legend(drawing, below, arrows, only_if, any(edge.brings for edge in graph.edges))
    svg: str = drawing.as_svg()
    return svg


def _on_paper(width: float, height: float) -> str:
    """A printed page holds the whole picture, lying where the picture is wide."""
    lying = "landscape" if width > height else "portrait"
    return (
        f"@page {{ size: {lying}; margin: 10mm; }}\n"
        "@media print { :root { width: 100%; height: auto; max-height: 100vh; } }"
    )


def _arrow(color: str) -> drawsvg.Marker:
    marker = drawsvg.Marker(-9, -5, 1, 5, scale=1, orient="auto", markerUnits="userSpaceOnUse")
    marker.append(drawsvg.Lines(-9, -4.5, 0, 0, -9, 4.5, fill=color, close=True))
    return marker


def _middle(row: int, column: float, left: float) -> tuple[float, float]:
    return round(left + column * WIDE, 1), HEAD + row * HIGH + HIGH / 2


def _line(edge: Edge, boxes: dict[str, Node], left: float, arrow: drawsvg.Marker) -> drawsvg.Path:
    first, then = boxes[edge.first], boxes[edge.then]
    x, y = _middle(first.row, first.column, left)
    end_x, end_y = _middle(then.row, then.column, left)
    look = {
        "fill": "none",
        "stroke": INK if edge.safety else FAINT,
        "stroke_width": 2.2 if edge.safety else 1.2,
        "marker_end": arrow,
    }
    if edge.brings:
        look["stroke_dasharray"] = "2 4"
    elif not edge.safety:
        look["stroke_dasharray"] = "7 4"
    path = drawsvg.Path(**look)
    y += BOX_HIGH / 2
    path.M(x, y)
    points = [_middle(row, column, left) for row, column in edge.through]
    for point_x, point_y in points:
        top, bottom = point_y - BOX_HIGH / 2, point_y + BOX_HIGH / 2
        half = (y + top) / 2
        path.C(x, half, point_x, half, point_x, top).L(point_x, bottom)
        x, y = point_x, bottom
    end = end_y - BOX_HIGH / 2 - 2
    half = (y + end) / 2
    path.C(x, half, end_x, half, end_x, end)
    path.append_title(f"{first.name}, then {then.name}: {edge.because}")
    return path


def _box(node: Node, left: float) -> drawsvg.Group:
    x, y = _middle(node.row, node.column, left)
    group = drawsvg.Group()
    look = {"stroke_dasharray": "5 3"} if node.brought_by else {}
    group.append(
        drawsvg.Rectangle(
            x - BOX_WIDE / 2, y - BOX_HIGH / 2, BOX_WIDE, BOX_HIGH,
            rx=8, fill="white", stroke=INK, stroke_width=1.4, **look,
        )
    )  # fmt: skip
    lines = wrap(f"{node.number}. {node.name}", LETTERS)
    start = y - LINE_HIGH / 2 * (len(lines) - 1) + 5.5
    for place, line in enumerate(lines):
        at_y = start + LINE_HIGH * place
        text = drawsvg.Text(line, LETTER_HIGH, x, at_y, text_anchor="middle", fill=INK)
        group.append(text)
    if node.brought_by:
        group.append_title(f"Only if: {node.brought_by}")
    return group


def _only_if(graph: OrderGraph, letters: int) -> list[str]:
    """What has to happen for the dashed boxes, which paper shows nowhere else, in lines."""
    brought: dict[str, list[str]] = {}
    for node in graph.nodes:
        if node.brought_by:
            brought.setdefault(node.brought_by, []).append(str(node.number))
    told = (f"{' and '.join(numbers)} only if: {what}" for what, numbers in brought.items())
    return [line for each in told for line in wrap(each, letters)]


def _legend(
    drawing: drawsvg.Drawing,
    y: float,
    arrows: dict[bool, drawsvg.Marker],
    only_if: list[str],
    brings: bool,
) -> None:
    x = MARGIN
    for text, safety, dashes in (
        ("must come first, for safety", True, None),
        ("comes first", False, "7 4"),
        *([("may bring it (dashed boxes)", False, "2 4")] if brings else []),
    ):
        drawing.append(
            drawsvg.Line(
                x, y, x + 36, y,
                stroke=INK if safety else FAINT, stroke_width=2.2 if safety else 1.2,
                marker_end=arrows[safety], **({"stroke_dasharray": dashes} if dashes else {}),
            )
        )  # fmt: skip
        drawing.append(drawsvg.Text(text, 12, x + 44, y + 4, fill=INK))
        x += 60 + 7 * len(text)
    drawing.append(
        drawsvg.Text(
            "The numbers are the suggested order; what no line joins may be done in any order.",
            12, MARGIN, y + 24, fill=INK,
        )
    )  # fmt: skip
    for place, line in enumerate(only_if):
        drawing.append(drawsvg.Text(line, 12, MARGIN, y + 42 + LINE * place, fill=INK))
    y += LINE * len(only_if)
    for place, line in enumerate(wrap(CAUTION, 100)):
        drawing.append(
            drawsvg.Text(line, 12, MARGIN, y + 42 + LINE * place, font_weight="bold", fill=INK)
        )
