"""Questions about wing, flaps and tail."""

from dataclasses import replace

from sim.ask.drawings import Mark
from sim.ask.question import YES, Question
from sim.ask.questions_body import DATUM

FLAPS = (("?flaps", "yes"),)
_SECTION = (
    "flat foam: a flat plate with a rounded edge. symmetrical: alike above and below."
    " semi-symmetrical: a little fuller above. cambered: clearly fuller above."
)


OUTLINE = (
    Question(
        "aeroplane.wing.span",
        "Wing",
        "Span of the wing, tip to tip?",
        "Straight across, not along the surface.",
        Mark("half", "centreline", "wing tip front", "half of it", up=True),
        unusual_below="400 mm",
        unusual_above="4 m",
    ),
    Question(
        "aeroplane.wing.root_chord",
        "Wing",
        "Chord of the wing on the centreline?",
        "Draw both edges on through the fuselage to the centreline, and measure there.",
        Mark("half", "wing root front", "wing root back", "root chord"),
        unusual_below="40 mm",
        unusual_above="1.5 m",
    ),
    Question(
        "aeroplane.wing.tip_chord",
        "Wing",
        "Chord of the wing at its tip?",
        "For a rounded tip: where the straight edges would meet the tip.",
        Mark("half", "wing tip front", "wing tip back", "tip chord"),
        unusual_below="15 mm",
        unusual_above="1 m",
    ),
    Question(
        "aeroplane.wing.sweep",
        "Wing",
        "Sweep of the wing's leading edge?",
        "Angle of the leading edge against a line straight across, tips aft positive. From a"
        " tape: how far the tip's leading edge lies aft of the root's, over half the span, is"
        " the tangent.",
        Mark("half", "wing root front", "wing tip front", "aft; over half the span"),
        unusual_below="-5 deg",
        unusual_above="60 deg",
    ),
    Question(
        "aeroplane.wing.root_leading_edge.station",
        "Wing",
        "Leading edge of the wing on the centreline: how far aft of the nose tip?",
        f"Where the leading edge, drawn on, meets the centreline. {DATUM}",
        Mark("side", "nose tip", "wing leading edge", "station"),
        unusual_below="50 mm",
        unusual_above="4 m",
    ),
    Question(
        "aeroplane.wing.root_leading_edge.height",
        "Wing",
        "How high is that point against the reference line (minus: below it)?",
        DATUM,
        Mark("side", "reference", "wing leading edge", "minus below", up=True),
        unusual_below="-300 mm",
        unusual_above="400 mm",
    ),
    Question(
        "aeroplane.wing.incidence",
        "Wing",
        "Incidence of the wing's root against the reference line, nose up positive?",
        "A phone or an incidence gauge on the chord line, less its reading on the reference"
        " line; for an all-moving tail with the stick at neutral. Half a degree counts.",
        usual="0 deg",
        unusual_below="-4 deg",
        unusual_above="5 deg",
    ),
    Question(
        "aeroplane.wing.section.name",
        "Wing",
        "Section of the wing?",
        _SECTION,
        usual="symmetrical",
    ),
    Question(
        "aeroplane.wing.section.thickness",
        "Wing",
        "Thickness of the wing's section, in % of its chord?",
        "Thickest place over the chord there. Leave empty if not known.",
        unusual_below="2 %",
        unusual_above="18 %",
        needed=False,
    ),
)
"""Outline of the wing; the tail is measured in the same way."""


def _of_tail(question: Question) -> Question:
    """The question about the wing, asked about the tail."""
    mark = question.mark
    if mark is not None:
        start, end = (place.replace("wing", "tail") for place in (mark.start, mark.end))
        mark = replace(mark, start=start, end=end)
    asked = replace(
        question,
        key=question.key.replace("wing", "tail"),
        part="Tail",
        words=question.words.replace("wing", "tail"),
        mark=mark,
    )
    if question.key.endswith(".span"):
        return replace(asked, unusual_below="150 mm", unusual_above="2 m")
    return asked


WING = (
    *OUTLINE,
    Question(
        "aeroplane.wing.washout",
        "Wing",
        "Washout: how far is the tip twisted nose down?",
        "Incidence of the root less that of the tip.",
        usual="0 deg",
        unusual_below="-2 deg",
        unusual_above="5 deg",
    ),
    Question(
        "?flaps",
        "Flaps",
        "Has the wing flaps that are set down for take-off?",
        "Flaps add lift, but most of them load the nose wheel as well.",
        usual="no",
        choices=YES,
    ),
    Question(
        "aeroplane.wing.flaps.kind",
        "Flaps",
        "Kind of flap?",
        "plain: the trailing edge itself hinges. split: only the lower skin. slotted: it opens a"
        " gap ahead of it.",
        usual="plain",
        when=FLAPS,
    ),
    Question(
        "aeroplane.wing.flaps.inboard",
        "Flaps",
        "Inner end of the flap, from the centreline?",
        "Across, one side only.",
        Mark("half", "centreline", "flap inner end", "off centre", up=True),
        unusual_above="600 mm",
        when=FLAPS,
    ),
    Question(
        "aeroplane.wing.flaps.outboard",
        "Flaps",
        "Outer end of the flap, from the centreline?",
        "Across, one side only.",
        Mark("half", "centreline", "flap outer end", "off centre", up=True),
        unusual_above="1.5 m",
        when=FLAPS,
    ),
    Question(
        "aeroplane.wing.flaps.chord_fraction",
        "Flaps",
        "Flap chord over wing chord, such as 0.25?",
        "Both at the middle of the flap.",
        Mark("half", "flap hinge", "flap trailing edge", "flap chord"),
        unusual_below="0.12",
        unusual_above="0.4",
        when=FLAPS,
    ),
    Question(
        "aeroplane.wing.flaps.deflection",
        "Flaps",
        "Flap deflection at the start, trailing edge down?",
        "A phone on the flap against its reading at neutral, or from the millimetres: twice the"
        " arcsine of the way of the trailing edge over twice the flap chord. Pack or receiver"
        " disconnected when fingers are in the linkage.",
        usual="0 deg",
        unusual_below="0 deg",
        unusual_above="50 deg",
        when=FLAPS,
    ),
)

TAIL = (
    Question(
        "aeroplane.tail.kind",
        "Tail",
        "Does the whole tail move, or is the elevator hinged?",
        "all-moving: the whole surface turns about a pivot. hinged: fixed, with an elevator.",
        usual="all-moving",
    ),
    *(_of_tail(question) for question in OUTLINE),
    Question(
        "aeroplane.tail.elevator_chord_fraction",
        "Tail",
        "Elevator chord over tail chord, such as 0.35?",
        "At the middle of one side, hinge line to trailing edge.",
        unusual_below="0.15",
        unusual_above="0.6",
        when=(("aeroplane.tail.kind", "hinged"),),
    ),
    Question(
        "aeroplane.tail.throw.up",
        "Tail",
        "Throw up (trailing edge up), full stick?",
        "From the way of the trailing edge and its distance from hinge or pivot: twice the arcsine"
        " of the way over twice the distance. Measure with the linkage as flown; it gives way under"
        " load. The fan cannot start: pack unplugged from the controller, receiver on its own.",
        Mark("edge", "pivot", "trailing edge", "from hinge or pivot"),
        unusual_below="4 deg",
        unusual_above="30 deg",
    ),
    Question(
        "aeroplane.tail.throw.down",
        "Tail",
        "Throw down (trailing edge down), full stick?",
        "As the throw up.",
        Mark("edge", "pivot", "trailing edge", "from hinge or pivot"),
        unusual_below="4 deg",
        unusual_above="30 deg",
    ),
)
