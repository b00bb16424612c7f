"""Questions about the power, the strip, the air and the pilot."""

from sim.ask.drawings import Mark
from sim.ask.question import Question
from sim.strip.surface import SURFACES

KNOWN = ("zero-thrust airspeed", "exit diameter")
CAUTION = (
    "Tie the model down to something that cannot move. Everybody clear of intake, exhaust and the"
    " plane of the fan, eyes and ears covered, one person on the throttle, no longer than it takes"
    " to read."
)

POWER = (
    Question(
        "power.static_thrust",
        "Power",
        "Thrust at rest, full throttle, read off a scale?",
        f"A scale in the line that holds the model; a reading of 2.1 kg is 2.1 kgf. {CAUTION}"
        " Read after the first seconds, as the pack is when you fly. Usual error 3 %.",
        Mark("bench"),
        unusual_below="2 N",
        unusual_above="250 N",
    ),
    Question(
        "?fall-off",
        "Power",
        "Thrust falls with airspeed. Do you know its zero-thrust airspeed or the exit diameter?",
        "The zero-thrust airspeed is where the straight line through the thrust at take-off speeds"
        " would end. If nobody told you, measure the nozzle: it is worked out from that.",
        usual="exit diameter",
        choices=KNOWN,
    ),
    Question(
        "power.zero_thrust_airspeed",
        "Power",
        "Airspeed at which no thrust would be left?",
        "Often 1.0 to 1.2 times the speed of the jet at rest.",
        unusual_below="25 m/s",
        unusual_above="250 m/s",
        when=(("?fall-off", "zero-thrust airspeed"),),
    ),
    Question(
        "power.exit_diameter",
        "Power",
        "Inner diameter of the nozzle's exit?",
        "Fan stopped, pack disconnected. For two nozzles: the diameter of a circle of the same area"
        " as both, 1.41 times one.",
        unusual_below="25 mm",
        unusual_above="200 mm",
        when=(("?fall-off", "exit diameter"),),
    ),
    Question(
        "power.spool_time",
        "Power",
        "Time constant of spooling up (time to 63 % of full thrust)?",
        "From a recording of the scale or of the sound. Leave empty if not known.",
        unusual_below="0.1 s",
        unusual_above="5 s",
        needed=False,
    ),
    Question(
        "power.thrust_line.height",
        "Power",
        "How high is the line of thrust against the reference line (minus: below it)?",
        "The middle of the exhaust, carried forward to the CG's station. A high line pushes the"
        " nose wheel down. Leave empty if not known: it is then taken through the CG.",
        Mark("side", "reference", "scrape point", "minus below", up=True),
        unusual_below="-150 mm",
        unusual_above="150 mm",
        needed=False,
    ),
)

_SURFACES = " ".join(f"{name}: {row.description}." for name, row in SURFACES.items())

DAY = (
    Question(
        "strip.surface",
        "Strip",
        "What does it roll on?",
        f"{_SURFACES} A tow test beats every word: see the page on measuring.",
        usual="mown grass",
    ),
    Question(
        "strip.length",
        "Strip",
        "Usable length?",
        "From where the wheels start to where it must be off, not to the fence.",
        Mark("field", "start", "end", "usable length"),
        unusual_below="20 m",
        unusual_above="500 m",
    ),
    Question(
        "strip.slope",
        "Strip",
        "Slope along the take-off, uphill positive?",
        "Rise over run: a hose with water, or a phone on a long straight board at several places.",
        usual="0 %",
        unusual_below="-6 %",
        unusual_above="6 %",
    ),
    Question(
        "air.temperature",
        "Air",
        "Temperature in the shade?",
        "Hot air is thin: less lift and less thrust.",
        usual="15 degC",
        unusual_below="-10 degC",
        unusual_above="40 degC",
    ),
    Question(
        "air.elevation",
        "Air",
        "How high is the strip above sea level?",
        "From a map.",
        usual="0 m",
        unusual_below="-50 m",
        unusual_above="2500 m",
    ),
    Question(
        "air.headwind",
        "Air",
        "Headwind along the strip (minus: tailwind)?",
        "At wheel height it is about half of what a mast shows. For planning take none.",
        usual="0 m/s",
        unusual_below="-4 m/s",
        unusual_above="10 m/s",
    ),
    Question(
        "pilot.pull_at",
        "Pilot",
        "Where does the pilot pull: a place (20 m), an airspeed (12 m/s) or a time (3 s)?",
        "From the start of the roll, when the stick first comes back.",
        Mark("field", "start", "pull", "place of the pull"),
        usual="20 m",
    ),
    Question(
        "pilot.pull",
        "Pilot",
        "Share of the up throw used, 0 to 1?",
        "1 is the stick all the way back.",
        usual="1.0",
    ),
    Question(
        "pilot.climb_attitude",
        "Pilot",
        "Pitch held after rotation?",
        "What looks right from the side, against the reference line.",
        usual="10 deg",
        unusual_below="3 deg",
        unusual_above="25 deg",
    ),
)
