"""The stock strip: what is left of a bore's stock, what the next passes are meant to leave, and the cliff beyond.

Diameter runs from left to right. What is cut lies left of the hole's edge, stock right of it, then the tolerance
between its limits, and beyond the upper limit the section-lined metal that must stay.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal

from borewright.drawing.scale import Scale, Tick
from borewright.drawing.svg import Drawing, hatching, text_width
from borewright.quantity.length import Unit
from borewright.quantity.say import say_length
from borewright.quantity.show import show_length, show_limits

BEYOND: Final = 0.62
"""How much of the tolerance is shown beyond the upper limit at least."""

BEFORE: Final = 2.5
"""How many tolerances are shown below the lower limit at least."""

FINEST: Final = 3.0
"""How far apart the steps of a soft edge are drawn."""

MOST_STEPS: Final = 14
"""Steps of a soft edge at most."""

NARROW: Final = 600.0
"""Below this width a strip is drawn for a hand's width."""

APART: Final = 2.6
"""How far apart, in type sizes, the lines of a step must stand before they are given figures."""

Size = Literal["large", "small"]


@dataclass(frozen=True, slots=True)
class Span:
    """A size with the interval that holds it 95 times in 100.

    Args:
        size_mm: the size, mm.
        low_mm: lower end, mm.
        high_mm: upper end, mm.
    """

    size_mm: float
    low_mm: float
    high_mm: float


@dataclass(frozen=True, slots=True)
class Strip:
    """What a stock strip shows.

    Args:
        name: what the bore is called.
        unit: unit of the figures.
        lower_mm: smallest size allowed, mm.
        upper_mm: largest size allowed, mm.
        start_mm: smallest diameter that the hole may have begun with, mm.
        hole: the hole as it is, or None where nobody knows yet.
        hole_words: what it is called: ``hole``, or ``expected`` until a pass is measured.
        aims: what the passes left are meant to leave, next first.
        past: sizes that the passes so far left, oldest first, mm.
    """

    name: str
    unit: Unit
    lower_mm: float
    upper_mm: float
    start_mm: float
    hole: Span | None = None
    aims: tuple[Span, ...] = ()
    past: tuple[float, ...] = ()
    hole_words: str = "hole"

    @property
    def middle_mm(self) -> float:
        """The middle of the tolerance, mm."""
        return 0.5 * (self.lower_mm + self.upper_mm)

    @property
    def target_mm(self) -> float:
        """Where the last pass aims; the middle of the tolerance where none aims within the limits, mm."""
        return self.aims[-1].size_mm if self.aimed else self.middle_mm

    @property
    def aimed(self) -> bool:
        """Whether the last pass that is planned aims within the limits."""
        return bool(self.aims) and self.lower_mm <= self.aims[-1].size_mm <= self.upper_mm

    @property
    def tolerance_mm(self) -> float:
        """What lies between the limits, mm."""
        return self.upper_mm - self.lower_mm

    @property
    def tolerance_words(self) -> str:
        """What lies between the limits, said, and never as more than it is."""
        return say_length(round(self.tolerance_mm, 9), self.unit, down=True)

    @property
    def limit_figures(self) -> tuple[str, str]:
        """The limits in digits, never further apart than they are; a digit more than usual where they have one."""
        usual = 3 if self.unit == "mm" else 4
        limits = (round(self.lower_mm, 9), round(self.upper_mm, 9))
        finer = any(round(limit / (25.4 if self.unit == "in" else 1.0) * 10 ** (usual + 1)) % 10 for limit in limits)
        return show_limits(*limits, self.unit, usual + finer)

    def scale(self, left: float, right: float) -> Scale:
        """Return its scale between two places.

        Args:
            left: x of the smallest diameter shown.
            right: x of the largest.

        Returns:
            The scale.
        """
        spans = [*([self.hole] if self.hole else []), *self.aims]
        first = min([self.start_mm, self.lower_mm - BEFORE * self.tolerance_mm, *(s.low_mm for s in spans)])
        last = max([self.upper_mm + BEYOND * self.tolerance_mm, *(s.high_mm for s in spans)])
        return Scale(self.middle_mm, 0.5 * self.tolerance_mm, first, last, left, right)


def draw_strip(strip: Strip, *, width: float = 1200.0, size: Size = "large", standalone: bool = False) -> str:
    """Draw a stock strip.

    Args:
        strip: what it shows.
        width: how wide it is drawn; type keeps its size.
        size: ``large`` with figures and graduation, or ``small`` for a line of a list.
        standalone: whether it carries its own ink, for docs and paper.

    Returns:
        An SVG element, the same bytes for the same strip.
    """
    layout = _layout(width, size)
    drawing = Drawing(
        width,
        layout.height,
        title=_title(strip),
        desc=_description(strip),
        name=f"strip-{size}",
        standalone=standalone,
    )
    scale = _scale(strip, layout)
    _draw_metal(drawing, strip, scale, layout)
    _draw_past(drawing, strip, scale, layout)
    _draw_aims(drawing, strip, scale, layout)
    _draw_hole(drawing, strip, scale, layout)
    if size == "large":
        _draw_dimensions(drawing, strip, scale, layout)
        _draw_graduation(drawing, strip, scale, layout)
    return drawing.svg()


@dataclass(frozen=True, slots=True)
class _Layout:
    """Where things stand, top to bottom.

    Args:
        width: of the drawing.
        height: of the drawing.
        top: top of the band.
        bottom: bottom of the band.
        cliff: how far the cliff rises above the band.
        type: size of the figures.
        small: size of the smaller figures.
        apart: least distance of two ticks.
        large: whether there are figures.
        lead: how much is drawn before the scale begins.
        tail: how much cliff is drawn after it ends.
    """

    width: float
    height: float
    top: float
    bottom: float
    cliff: float
    type: float
    small: float
    apart: float
    large: bool
    lead: float
    tail: float

    @property
    def half(self) -> float:
        """Half the height of a lozenge."""
        return (0.26 if self.narrow else 0.29 if self.large else 0.42) * self.band

    @property
    def middle(self) -> float:
        """Where the middle of a lozenge lies: under its figure, where it has one."""
        return self.bottom - self.half - 0.08 * self.band

    @property
    def narrow(self) -> bool:
        """Whether the hole's figure needs a row of its own, under those of the limits."""
        return self.large and self.width < NARROW

    @property
    def band(self) -> float:
        """Height of the band."""
        return self.bottom - self.top


def _layout(width: float, size: Size) -> _Layout:
    if size == "small":
        return _Layout(width, 44, 8, 38, 8, 0, 0, 0, large=False, lead=10, tail=10)
    if width < NARROW:
        return _Layout(width, 236, 84, 172, 14, 16, 14, 6, large=True, lead=16, tail=32)
    return _Layout(width, 208, 62, 138, 16, 20, 16, 5.5, large=True, lead=28, tail=16)


def _scale(strip: Strip, layout: _Layout) -> Scale:
    """Place the scale so that the upper limit's figure has room over the cliff."""
    scale = strip.scale(layout.lead, layout.width - layout.tail)
    if not layout.large:
        return scale
    ends = scale.x(strip.upper_mm) + 14 + text_width(_figure(strip.upper_mm, strip), layout.type)
    short = max(0.0, ends - layout.width)
    return strip.scale(layout.lead, layout.width - layout.tail - 1.3 * short)


def _draw_metal(drawing: Drawing, strip: Strip, scale: Scale, layout: _Layout) -> None:
    """Draw what is cut, the stock, the tolerance and the cliff."""
    lower, upper = scale.x(strip.lower_mm), scale.x(strip.upper_mm)
    edge = scale.x(strip.hole.size_mm) if strip.hole else 0.0
    top, bottom = layout.top, layout.bottom
    drawing.rect("d-void", 0, top, edge, bottom)
    drawing.rect("d-stock", edge, top, lower, bottom)
    drawing.rect("d-tolerance", lower, top, upper, bottom)
    drawing.line("d-edge", (min(edge, upper), top), (upper, top))
    drawing.line("d-edge", (0, bottom), (layout.width, bottom))
    ground = (upper, top - layout.cliff, layout.width, bottom)
    drawing.rect("d-cliff", *ground)
    drawing.path("d-hatch", hatching(ground, 11 if layout.large else 7))
    drawing.line("d-edge", (upper, top - layout.cliff), (layout.width, top - layout.cliff))
    drawing.line("d-limit", (lower, top), (lower, bottom))
    drawing.line("d-wall", (upper, top - layout.cliff), (upper, bottom))
    if layout.large:
        _name_cliff(drawing, upper, 0.5 * (top - layout.cliff + bottom), layout)


def _name_cliff(drawing: Drawing, upper: float, y: float, layout: _Layout) -> None:
    """Name the cliff: in one line, or in two where it is narrow."""
    room, size = layout.width - upper, layout.small
    words = ("over size",) if room > text_width("over size", size) + 28 else ("over", "size")
    wide = max(text_width(word, size) for word in words)
    if room < wide + 8:
        return
    x, first = upper + room / 2, y + 2 - 0.5 * (len(words) - 1) * size
    drawing.rect("d-plate", x - wide / 2 - 4, first - size + 1, x + wide / 2 + 4, first + (len(words) - 1) * size + 6)
    for line, word in enumerate(words):
        drawing.text("d-word", x, first + line * size, size, word, "middle")


def _draw_past(drawing: Drawing, strip: Strip, scale: Scale, layout: _Layout) -> None:
    """Notch the lower edge where each pass so far left the hole."""
    half = 6.0 if layout.large else 4.0
    for size in strip.past:
        x = scale.x(size)
        drawing.polygon(
            "d-past", [(x - half, layout.bottom), (x + half, layout.bottom), (x, layout.bottom - 1.6 * half)]
        )


def _draw_aims(drawing: Drawing, strip: Strip, scale: Scale, layout: _Layout) -> None:
    """Draw the passes left as lozenges, as wide as what each may leave, fading to their ends."""
    high, middle = layout.half, layout.middle
    for place, aim in reversed(list(enumerate(strip.aims))):
        ink = "d-next" if place == 0 else "d-aim"
        x = scale.x(aim.size_mm)
        for low, up, share, density in _soft(aim, scale, 0.62 if place == 0 else 0.45):
            half = high * (0.55 + 0.45 * share)
            left, right = min(low, x - 3.0), max(up, x + 3.0)
            drawing.polygon(ink, [(left, middle), (x, middle - half), (right, middle), (x, middle + half)], density)
        drawing.line("d-aim-at", (x, middle - high), (x, middle + high))


def _draw_hole(drawing: Drawing, strip: Strip, scale: Scale, layout: _Layout) -> None:
    """Draw the edge of the hole, soft as far as it may lie elsewhere."""
    if strip.hole is None:
        return
    hole = strip.hole
    for low, up, _, density in _soft(hole, scale, 0.5):
        drawing.rect("d-soft", low, layout.top, up, layout.bottom, density)
    x = scale.x(hole.size_mm)
    drawing.line("d-hole", (x, layout.top - (10 if layout.large else 4)), (x, layout.bottom))
    if layout.large:
        drawing.polygon("d-flag", [(x - 8, layout.top - 14), (x + 8, layout.top - 14), (x, layout.top)])


def _soft(span: Span, scale: Scale, dense: float) -> list[tuple[float, float, float, float]]:
    """Return the steps of a soft edge: left and right end, share of the interval, and how dense each is drawn.

    Steps that lie over each other add up to ``dense`` in the middle.
    """
    wide = scale.x(span.high_mm) - scale.x(span.low_mm)
    steps = max(3, min(MOST_STEPS, round(wide / 2 / FINEST)))
    density = 1.0 - (1.0 - dense) ** (1.0 / steps)
    found = []
    for step in range(steps):
        share = 1.0 - step / steps
        low = scale.x(span.size_mm + share * (span.low_mm - span.size_mm))
        up = scale.x(span.size_mm + share * (span.high_mm - span.size_mm))
        found.append((low, up, share, density))
    return found


def _draw_dimensions(drawing: Drawing, strip: Strip, scale: Scale, layout: _Layout) -> None:
    """Draw limits, hole, stock and aims as a drawing is dimensioned."""
    lower, upper = scale.x(strip.lower_mm), scale.x(strip.upper_mm)
    first_row, second_row = layout.type, layout.top - layout.cliff - 8.0
    drawing.line("d-extension", (lower, 4), (lower, layout.top))
    drawing.line("d-extension", (upper, 4), (upper, layout.top - layout.cliff))
    _dimension(drawing, (lower, upper, first_row - 6), strip.tolerance_words, layout)
    low_text, high_text = strip.limit_figures
    drawing.text("d-figure", lower - 8, first_row, layout.type, low_text, "end")
    drawing.text("d-figure", upper + 8, first_row, layout.type, high_text)
    if strip.hole is not None:
        beside = lower - 44 - text_width(low_text, layout.type)
        rows = (first_row + 22, second_row, layout.width - 8) if layout.narrow else (first_row, second_row, beside)
        _dimension_hole(drawing, strip, scale, layout, rows)
    _name_aims(drawing, strip, scale, layout)


def _dimension_hole(
    drawing: Drawing, strip: Strip, scale: Scale, layout: _Layout, rows: tuple[float, float, float]
) -> None:
    """Write the hole's size at its edge, and what is to come off between it and where the last pass aims."""
    assert strip.hole is not None
    first_row, second_row, taken = rows
    x, target = scale.x(strip.hole.size_mm), scale.x(strip.target_mm)
    words = f"{strip.hole_words} {_figure(strip.hole.size_mm, strip, finer=1)}"
    wide = text_width(words, layout.type)
    left = strip.target_mm - strip.hole.size_mm
    if strip.hole.size_mm >= strip.lower_mm:
        second_row += 4.0  # clear of the tolerance above it
        start = min(max(x - wide / 2, 8), layout.width - wide - 8)
        drawing.rect("d-plate", start - 4, second_row - 0.8 * layout.type, start + wide + 4, second_row + 4)
        drawing.text("d-figure", start, second_row, layout.type, words)
        return
    start = max(min(x - 10, taken - wide), 8)
    drawing.rect("d-plate", start - 4, first_row - 0.8 * layout.type, start + wide + 4, first_row + 4)
    drawing.text("d-figure", start, first_row, layout.type, words)
    drawing.line("d-extension", (x, first_row + 6), (x, layout.top - 14))
    drawing.line("d-centre", (target, second_row - 14), (target, layout.top))
    if not strip.aimed:
        drawing.line("d-centre", (target, layout.middle - layout.half), (target, layout.bottom))
    _dimension_stock(drawing, (x, scale.x(strip.lower_mm), target), second_row - 5, _said(left, strip.unit), layout)


def _dimension_stock(
    drawing: Drawing, places: tuple[float, float, float], y: float, said: str, layout: _Layout
) -> None:
    """Write what is to come off beside the lower limit's line and not across it, in fewer words where room is short."""
    start, limit, end = places
    size = layout.small
    for words in (f"{said} to come off", said):
        wide = text_width(words, size)
        for left, right in ((start, limit), (limit, end)):
            if left + wide + 26 < right:
                _dimension(drawing, (start, end, y), words, layout, 0.5 * (left + right))
                return
    _dimension(drawing, (start, end, y), said, layout)


def _name_aims(drawing: Drawing, strip: Strip, scale: Scale, layout: _Layout) -> None:
    """Write the size that each pass is meant to leave over its lozenge, as far as there is room, the next one first.

    Where the strip is narrow there are two rows of them.
    """
    size, taken = layout.small, dict[int, list[tuple[float, float]]]()
    rows = 2 if layout.narrow else 1
    for aim in strip.aims:
        x, words = scale.x(aim.size_mm), _figure(aim.size_mm, strip)
        wide = text_width(words, size)
        start = min(max(x - wide / 2, 6), layout.width - wide - 6)
        for row in range(rows):
            beside = taken.setdefault(row, [])
            if all(start > right + 8 or start + wide < left - 8 for left, right in beside):
                drawing.text("d-aim-figure", start, layout.top + (row + 1) * size, size, words)
                beside.append((start, start + wide))
                break


def _draw_graduation(drawing: Drawing, strip: Strip, scale: Scale, layout: _Layout) -> None:
    """Graduate the strip like a rule, figures where they have room, and say how the scale grows."""
    ticks = scale.ticks(strip.unit, layout.apart)
    drawing.path("d-tick", [(tick.x, layout.bottom, tick.x, layout.bottom + _tall(tick, layout)) for tick in ticks])
    base = layout.bottom + 20 + layout.small
    taken: list[tuple[float, float]] = []
    for tick in ticks:
        if tick.apart <= APART * layout.small:
            break  # those that stand widest apart come first
        wide = text_width(tick.text, layout.small)
        start = tick.x - wide / 2
        free = all(start > right + 12 or start + wide < left - 12 for left, right in taken)
        if start >= 4 and start + wide <= layout.width - 4 and free:
            drawing.text("d-word", start, base, layout.small, tick.text)
            taken.append((start, start + wide))
    drawing.text("d-note", 8, layout.height - 5, layout.small - 2, _scale_words(strip, scale, layout))


def _tall(tick: Tick, layout: _Layout) -> float:
    """Return how tall a tick is drawn: the wider apart its step, the taller."""
    for wide, height in ((12.0, 18.0), (5.0, 13.0), (2.2, 9.0)):
        if tick.apart > wide * layout.apart:
            return height
    return 6.0


def _dimension(
    drawing: Drawing, place: tuple[float, float, float], words: str, layout: _Layout, at: float | None = None
) -> None:
    """Draw a dimension between two extension lines: with heads, or the words alone where room is short."""
    left, right, y = place
    size = layout.small
    wide = text_width(words, size)
    middle = 0.5 * (left + right) if at is None else at
    if right - left > wide + 44:
        drawing.path(
            "d-dimension",
            [(left + 1, y, middle - wide / 2 - 6, y), (middle + wide / 2 + 6, y, right - 1, y)],
        )
        drawing.polygon("d-head", [(left + 1, y), (left + 11, y - 3), (left + 11, y + 3)])
        drawing.polygon("d-head", [(right - 1, y), (right - 11, y - 3), (right - 11, y + 3)])
        drawing.rect("d-plate", middle - wide / 2 - 5, y - size / 2, middle + wide / 2 + 5, y + size / 2)
        drawing.text("d-word", middle, y + size * 0.34, size, words, "middle")
    elif right - left > wide + 4:
        drawing.rect("d-plate", middle - wide / 2 - 3, y - size / 2, middle + wide / 2 + 3, y + size / 2)
        drawing.text("d-word", middle, y + size * 0.34, size, words, "middle")


def _figure(mm: float, strip: Strip, finer: int = 0) -> str:
    """Write a size as the strip shows it: to a micrometre or a tenth, and finer where it was weighed."""
    return _digits(mm, strip.unit, finer)


@lru_cache(maxsize=256)  # a strip is drawn at several widths
def _digits(mm: float, unit: Unit, finer: int) -> str:
    decimals = (3 if unit == "mm" else 4) + finer
    if not finer and unit == "in" and round(mm / 25.4 * 10**5) % 10:
        decimals += 1
    return show_length(round(mm, 9), unit, decimals=decimals, with_unit=False)


@lru_cache(maxsize=256)
def _said(mm: float, unit: Unit) -> str:
    return say_length(mm, unit)


def _scale_words(strip: Strip, scale: Scale, layout: _Layout) -> str:
    times = f"{scale.magnified:.0f}" if scale.magnified < 100 else f"{round(scale.magnified, -1):.0f}"
    if layout.narrow:
        return f"{strip.unit} on the diameter; {times} times larger at the limits"
    return f"{strip.unit} on the diameter, drawn {times} times larger at the limits than at the left end"


def _title(strip: Strip) -> str:
    limits = f"limits {' to '.join(strip.limit_figures)} {strip.unit}"
    named = f"{strip.name}: " if strip.name else ""
    if strip.hole is None:
        return f"{named}{limits}"
    return f"{named}hole {_figure(strip.hole.size_mm, strip, finer=1)} {strip.unit}, {limits}"


def _description(strip: Strip) -> str:
    said = []
    if strip.hole is not None:
        said.append(f"The hole lies between {_between(strip.hole, strip)}.")
        left = strip.target_mm - strip.hole.size_mm
        where = "the last aim" if strip.aimed else "the middle of the tolerance"
        over = strip.hole.size_mm - strip.upper_mm
        if over > 0:
            said.append(f"It is {_said(over, strip.unit)} over the upper limit.")
        elif strip.hole.size_mm < strip.lower_mm:
            said.append(f"{_said(left, strip.unit).capitalize()} to come off to {where}.")
        else:
            said.append("It is within the limits.")
    for place, aim in enumerate(strip.aims, 1):
        said.append(f"Pass {place} aims at {_figure(aim.size_mm, strip)}, between {_between(aim, strip)}.")
    said.append(f"Beyond {strip.limit_figures[1]} {strip.unit} the part is lost.")
    return " ".join(said)


def _between(span: Span, strip: Strip) -> str:
    low, high = _figure(span.low_mm, strip, finer=1), _figure(span.high_mm, strip, finer=1)
    return f"{low} and {high} {strip.unit}"
