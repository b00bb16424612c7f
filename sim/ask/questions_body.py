"""Questions about the fuselage, the balance and the wheels."""

from sim.ask.drawings import Mark
from sim.ask.question import YES, Question

DATUM = (
    "Stations run aft from the nose tip, heights up from the reference line, any straight line"
    " along the fuselage you can mark with tape. Only differences count, so keep to one datum."
    " Block the model up with that line level and drop a plumb line to the floor for each point."
)


KNOWN_CG = (("?balance", "mass and CG"),)
SCALES = (("?balance", "wheels on scales"),)


def _station(name: str) -> Mark:
    return Mark("side", "nose tip", name, "station")


def _height(name: str) -> Mark:
    return Mark("side", "reference", name, "minus below", up=True)


BODY = (
    Question(
        "title",
        "Name",
        "A line to tell this scenario from others?",
        "Any words: the model, the strip, the day.",
        usual="My jet, first measurements",
    ),
    Question(
        "aeroplane.length",
        "Fuselage",
        "How long is the fuselage?",
        f"Nose tip to the end of the fuselage, without fins that stand out behind. {DATUM}",
        Mark("side", "nose tip", "end", "length"),
        unusual_below="400 mm",
        unusual_above="4 m",
    ),
    Question(
        "aeroplane.body.width",
        "Fuselage",
        "How wide is the fuselage at its widest?",
        "Across the intakes if they belong to its outline, without the wing.",
        Mark("half", "body side", "body other side", "width", up=True),
        unusual_below="40 mm",
        unusual_above="700 mm",
    ),
    Question(
        "aeroplane.body.depth",
        "Fuselage",
        "How deep is the fuselage at its deepest?",
        "Belly to the top of the canopy, without the fin.",
        Mark("side", "back", "belly", "depth", up=True),
        unusual_below="40 mm",
        unusual_above="700 mm",
    ),
)

WHEELS = (
    Question(
        "aeroplane.gear.main.station",
        "Main wheels",
        "Where is the axle of the main wheels, aft of the nose tip?",
        f"Legs loaded as on the ground. A few millimetres decide the rotation. {DATUM}",
        _station("main axle"),
        unusual_below="200 mm",
        unusual_above="3 m",
    ),
    Question(
        "aeroplane.gear.main.axle_height",
        "Main wheels",
        "How high is the main axle against the reference line (minus: below it)?",
        f"Legs loaded as on the ground, oleos pressed in. {DATUM}",
        _height("main axle"),
        unusual_below="-600 mm",
        unusual_above="-20 mm",
    ),
    Question(
        "aeroplane.gear.main.wheel_diameter",
        "Main wheels",
        "Diameter of the main wheels?",
        "Over the tyre. Small wheels roll much harder in grass.",
        unusual_below="30 mm",
        unusual_above="200 mm",
    ),
    Question(
        "aeroplane.gear.main.track",
        "Main wheels",
        "Track, left to right main wheel, middle to middle?",
        "For the angle at which it tips over sideways. Leave empty if not known.",
        unusual_below="80 mm",
        unusual_above="1.5 m",
        needed=False,
    ),
    Question(
        "aeroplane.gear.nose.station",
        "Nose wheel",
        "Where is the axle of the nose wheel, aft of the nose tip (minus: ahead of it)?",
        f"Leg loaded as on the ground, wheel straight ahead. {DATUM}",
        _station("nose axle"),
        unusual_below="0 mm",
        unusual_above="1.5 m",
    ),
    Question(
        "aeroplane.gear.nose.wheel_diameter",
        "Nose wheel",
        "Diameter of the nose wheel?",
        "Over the tyre.",
        unusual_below="30 mm",
        unusual_above="200 mm",
    ),
    Question(
        "aeroplane.gear.nose.axle_height",
        "Nose wheel",
        "How high is the nose axle against the reference line (minus: below it)?",
        "Leg loaded as on the ground. Leave empty to give the ground attitude instead, read with a"
        f" phone. {DATUM}",
        _height("nose axle"),
        unusual_below="-600 mm",
        unusual_above="-20 mm",
        needed=False,
    ),
    Question(
        "aeroplane.gear.ground_attitude",
        "Nose wheel",
        "Attitude of the reference line on its wheels, nose up positive?",
        "Model on a level floor, legs settled, a phone along the reference line. Turn the phone"
        " end for end and take the mean. Usual error 0.2 deg.",
        unusual_below="-5 deg",
        unusual_above="8 deg",
        when=(("aeroplane.gear.nose.axle_height", None),),
    ),
)

BALANCE = (
    Question(
        "?balance",
        "Balance",
        "Do you give mass and CG, or what scales under the wheels show?",
        "mass and CG: weighed whole and balanced by hand. wheels on scales: mass and CG are worked"
        " out from the loads.",
        usual="mass and CG",
        choices=("mass and CG", "wheels on scales"),
    ),
    Question(
        "aeroplane.mass",
        "Balance",
        "How heavy is it, ready for take-off?",
        "All on board: packs or fuel, canopy, wheels. Weigh it whole, or each wheel on a scale and"
        " add up. Pack or receiver disconnected while you handle it.",
        unusual_below="300 g",
        unusual_above="25 kg",
        when=KNOWN_CG,
    ),
    Question(
        "aeroplane.cg.station",
        "Balance",
        "Where does it balance, aft of the nose tip?",
        "Ready for take-off, gear down, packs or fuel on board: lift it at two marks under the wing"
        " until it hangs level. Take the mean of three."
        " Usual error 3 mm. Pack or receiver disconnected.",
        _station("cg"),
        unusual_below="100 mm",
        unusual_above="3 m",
        when=KNOWN_CG,
    ),
    Question(
        "aeroplane.cg.height",
        "Balance",
        "How high is the CG against the reference line?",
        "From a second weighing, tilted 15 to 20 deg nose up. Leave empty if not known: it is then"
        " estimated from where the parts lie. Somebody holds the model while it is tilted.",
        _height("cg"),
        unusual_below="-150 mm",
        unusual_above="150 mm",
        needed=False,
        when=KNOWN_CG,
    ),
    Question(
        "aeroplane.weighing.nose",
        "Balance",
        "What does the scale under the nose wheel show?",
        "All three wheels on scales of one height, reference line level, wheels free to roll, ready"
        " for take-off. Usual error 5 g. Pack or receiver disconnected.",
        _station("nose axle"),
        unusual_below="10 g",
        unusual_above="5 kg",
        when=SCALES,
    ),
    Question(
        "aeroplane.weighing.mains",
        "Balance",
        "What do the scales under both main wheels show together?",
        "As for the nose wheel: one plate under both, or left and right added up.",
        _station("main axle"),
        unusual_below="300 g",
        unusual_above="25 kg",
        when=SCALES,
    ),
    Question(
        "?tilted",
        "Balance",
        "Have you weighed the nose wheel again with the nose raised?",
        "That gives the height of the CG. Without it the height is estimated.",
        usual="no",
        choices=YES,
        when=SCALES,
    ),
    Question(
        "aeroplane.weighing.tilted.angle",
        "Balance",
        "How far was the reference line raised, nose up?",
        "Blocks under the nose scale, a phone on the reference line; 15 to 20 deg. Mains chocked"
        " lightly, nose wheel free to roll, somebody holds the model.",
        unusual_below="8 deg",
        unusual_above="30 deg",
        when=(*SCALES, ("?tilted", "yes")),
    ),
    Question(
        "aeroplane.weighing.tilted.nose",
        "Balance",
        "What did the nose scale show then?",
        "To the gram: the height hangs on the difference of two readings.",
        unusual_below="10 g",
        unusual_above="5 kg",
        when=(*SCALES, ("?tilted", "yes")),
    ),
    Question(
        "aeroplane.scrape_point.station",
        "Tail end",
        "What touches first when the nose goes too high: how far aft of the nose tip?",
        "Lower the tail by hand, main wheels on the floor, and look: exhaust lip, fin tip, skid.",
        _station("scrape point"),
        unusual_below="300 mm",
        unusual_above="4 m",
    ),
    Question(
        "aeroplane.scrape_point.height",
        "Tail end",
        "How high is that point against the reference line (minus: below it)?",
        DATUM,
        _height("scrape point"),
        unusual_below="-300 mm",
        unusual_above="300 mm",
    ),
    Question(
        "?swing",
        "Inertia",
        "Have you swung it on two strings to find its inertia in pitch?",
        "If not, the inertia is estimated from mass and length, to about a fifth.",
        Mark("strings"),
        usual="no",
        choices=YES,
    ),
    Question(
        "aeroplane.swing.string_separation",
        "Inertia",
        "How far apart are the strings?",
        "Around the fuselage, both equally far from the CG, fore and aft; the model hangs on its"
        " side, one wing straight up, fuselage level.",
        Mark("strings", "left", "right", "distance"),
        unusual_below="150 mm",
        unusual_above="2 m",
        when=(("?swing", "yes"),),
    ),
    Question(
        "aeroplane.swing.string_length",
        "Inertia",
        "How long is each string?",
        "Beam to model, both alike, longer than they are apart. Try their hold before you let go.",
        Mark("strings", "beam", "model", "length", up=True),
        unusual_below="300 mm",
        unusual_above="5 m",
        when=(("?swing", "yes"),),
    ),
    Question(
        "aeroplane.swing.period",
        "Inertia",
        "How long does one full swing take, there and back?",
        "The model on its side, one wing straight up. Turn it about the vertical by 10 deg, let go,"
        " time ten swings and divide by ten. The right way up it would turn in yaw instead."
        " An error of 1 % in the time is 2 % of inertia. Pack or receiver disconnected.",
        unusual_below="0.5 s",
        unusual_above="10 s",
        when=(("?swing", "yes"),),
    ),
)
