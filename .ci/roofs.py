"""Invented roofs by seed: design files for the judge.

Aim: a roof of any shape that a design file can say, as text. Reason: examples are few and friendly. Limits: small roofs, a few dozen
landings each; one seed gives one text. Nobody means to build any of them.
"""

import math
import random

INCH = 0.0254
MIXES = ["shed", "gable", "hip", "outline", "wing", "placed", "turned"]
# Width, depth, flange and web of invented I-joists, inches.
I_JOISTS = [(1.75, 9.5, 1.375, 0.375), (2.3125, 9.5, 1.125, 0.375), (2.5, 11.875, 1.5, 0.375), (3.5, 11.875, 1.375, 0.4375)]
DRESSED = {"2x4": (1.5, 3.5), "2x6": (1.5, 5.5), "2x8": (1.5, 7.25), "2x10": (1.5, 9.25), "2x12": (1.5, 11.25), "4x6": (3.5, 5.5)}


class Writer:
    """Writes one design; sizes are inches until they are written."""

    def __init__(self, seed):
        self.rng = random.Random(f"roof {seed}")
        self.mm = self.rng.random() < 0.4
        self.lines = []
        self.edges = {}
        self.deck = 0.0
        self.batten = 1.0

    def maybe(self, chance):
        return self.rng.random() < chance

    def one(self, *choices):
        return self.rng.choice(choices)

    def size(self, low, high):
        """A size that the units can say, inches."""
        return self.snap(self.rng.uniform(low, high))

    def snap(self, value):
        return round(value * 25.4) / 25.4 if self.mm else round(value * 16) / 16

    def text(self, value):
        """The size as a design file has it, quotes included."""
        if self.mm:
            mm = round(value * 25.4, 6)
            return f'"{mm:g} mm"' if self.maybe(0.8) else f'"{mm / 1000:.9g} m"'
        whole, rest = divmod(round(abs(value) * 16), 16)
        if abs(value) * 16 != round(abs(value) * 16) or value < 0 or self.maybe(0.4):
            return f'"{value:.9g} in"'
        feet, inches = divmod(whole, 12)
        sixteenths = f" {rest}/16" if rest else ""
        if feet and self.maybe(0.5):
            return f'"{feet} ft {inches}{sixteenths} in"'
        return f'"{whole}{sixteenths} in"' if whole else f'"{rest}/16 in"'

    def exact(self, value):
        """A size that no tape shows: to a nanometre, from inches."""
        return f'"{value * 0.0254:.9f} m"'

    def pair(self, x, y):
        return f"[{self.text(x)}, {self.text(y)}]"

    def put(self, *lines):
        self.lines.extend(lines)

    def edge(self, name, **settings):
        """Settings of an edge, gathered: one table for each."""
        self.edges.setdefault(name, {}).update(settings)

    def section(self, thin=False):
        """A section: as text, and its width and depth."""
        kind = self.rng.random()
        if kind < 0.22 and not thin:
            w, d, f, b = self.rng.choice(I_JOISTS)
            w, d, f, b = (self.snap(v) for v in (w, d, f, b))
            return f"{{ width = {self.text(w)}, depth = {self.text(d)}, flange = {self.text(f)}, web = {self.text(b)} }}", w, d
        if kind < 0.75:
            name = self.rng.choice(["2x4", "2x6"] if thin else list(DRESSED))
            w, d = DRESSED[name]
            flat = thin and self.maybe(0.3)
            return f'{{ nominal = "{name}"{", flat = true" if flat else ""} }}', *((d, w) if flat else (w, d))
        w, d = self.size(1.2, 2.6), self.size(3.2, 5.6) if thin else self.size(3.5, 10)
        return f"{{ width = {self.text(w)}, depth = {self.text(d)} }}", w, d


def design(seed):
    """The text of a design and the shape that it has."""
    w = Writer(seed)
    # Every shape comes as often as every other.
    mix = MIXES[seed % len(MIXES)]
    w.put("format = 1", f'name = "Roof {seed} (invented)"', f'units = "{"millimetres" if w.mm else "inches"}"')
    slopes = {"shed": short, "gable": short, "hip": short, "outline": outline, "wing": wing, "placed": placed, "turned": placed}[mix](w, mix)
    framing(w, slopes)
    openings = [] if mix in ("hip", "wing") else skylights(w, slopes)
    lattice(w)
    fastening(w)
    if mix in ("shed", "gable", "placed", "turned"):
        singles(w, slopes, openings)
    if mix in ("shed", "gable", "placed"):
        found(w, slopes, openings)
    laid(w, slopes)
    hold_backs_of_edges(w, slopes)
    for name, settings in w.edges.items():
        w.put("[[edge]]", f'edge = "{name}"', *(f"{k} = {v}" for k, v in settings.items()))
    return "\n".join(w.lines) + "\n", mix


def slope(name, width, height, kind="rectangle", edges=4):
    return {"name": name, "width": width, "height": height, "kind": kind, "edges": edges, "rafters": None}


def facing_name(degrees):
    return ["N", "NE", "E", "SE", "S", "SW", "W", "NW"][math.floor(degrees / 45 + 0.5) % 8]


def pitch(w):
    if w.maybe(0.5):
        rise = w.rng.randint(1, 14)
        return f'"{rise}:12"', math.atan2(rise, 12)
    degrees = round(w.rng.uniform(4, 52), 1)
    return f'"{degrees} deg"', math.radians(degrees)


def azimuth(w):
    return w.one(0.0, 90.0, 180.0, 270.0) if w.maybe(0.3) else round(w.rng.uniform(0, 359.9), 1)


# --- shapes ------------------------------------------------------------------------------------------------------------


def short(w, mix):
    """A roof by the short form."""
    text, angle = pitch(w)
    facing = azimuth(w)
    eave = w.size(70, 125)
    w.put("[roof]", f'shape = "{mix}"', f"pitch = {text}", f'facing = "{facing} deg"', f"eave = {w.text(eave)}", f"eave_height = {w.text(w.size(60, 140))}")
    turned = lambda quarters: facing_name((facing + 90 * quarters) % 360)
    if mix == "shed":
        length = w.size(48, 90)
        w.put(f"slope_length = {w.text(length)}")
        return [slope(facing_name(facing), eave, length)]
    if mix == "gable":
        width = w.size(80, 125)
        w.put(f"width = {w.text(width)}")
        if w.maybe(0.5):
            w.put(f"ridge_board = {w.one('{ nominal = ' + chr(34) + '2x12' + chr(34) + ' }', '{ nominal = ' + chr(34) + '2x10' + chr(34) + ' }')}")
        length = width / 2 / math.cos(angle)
        return [slope(turned(0), eave, length), slope(turned(2), eave, length)]
    width = eave if w.maybe(0.2) else w.snap(eave * w.rng.uniform(0.6, 0.95))
    w.put(f"width = {w.text(width)}")
    if w.maybe(0.6):
        w.put('hip_rafter = { nominal = "2x10" }')
    if w.maybe(0.6):
        w.put('ridge_board = { nominal = "2x10" }')
    length = width / 2 / math.cos(angle)
    return [slope(turned(q), eave if q % 2 == 0 else width, length, "hip") for q in (0, 3, 2, 1)]


def slope_table(w, name, facing, text, point, shape):
    w.put("[[slope]]", f'name = "{name}"', f'facing = "{facing:.6f} deg"', f"pitch = {text}", f"eave_point = [{', '.join(map(w.exact, point))}]", shape)


def far(w):
    """A place up to a kilometre away, inches."""
    reach = w.one(0, 400, 39000)
    return [w.rng.uniform(-reach, reach), w.rng.uniform(-reach, reach), w.rng.uniform(80, 300)]


def placed(w, mix):
    """One or two rectangles, anywhere; turned: two that do not meet, and members in the world under the first."""
    facing, (text, angle), point = azimuth(w), pitch(w), far(w)
    width, height = w.size(70, 120), w.size(50, 90)
    slope_table(w, "A", facing, text, point, f"size = {w.pair(width, height)}")
    found = [slope("A", width, height)]
    if mix == "turned":
        x, y, z = axes(facing, angle)
        other = (facing + w.one(90.0, 180.0, 37.5)) % 360
        away = [p + 30 * (x[i] + y[i]) + 1.3 * (width * x[i] + height * y[i]) for i, p in enumerate(point)]
        slope_table(w, "B", other, text, away, f"size = {w.pair(w.snap(width * 0.7), height)}")
        found.append(slope("B", w.snap(width * 0.7), height))
        for kind in w.rng.sample(["rafter", "hip rafter", "rafter", "valley rafter"], w.rng.randint(1, 3)):
            # Under the slope, not quite along it, rolled. Rafters run up it nearly enough to make a line.
            a = (w.rng.uniform(8, width * 0.6), w.rng.uniform(1, height * 0.3), -w.rng.uniform(1, 1.7))
            b_y = height * w.rng.uniform(0.7, 0.97)
            aside = (b_y - a[1]) / 9 * w.rng.uniform(-1, 1) if kind == "rafter" else w.rng.uniform(10, width * 0.3)
            b = (a[0] + aside, b_y, -w.rng.uniform(1, 1.7))
            place = lambda q: "[" + ", ".join(w.exact(point[i] + q[0] * x[i] + q[1] * y[i] + q[2] * z[i]) for i in range(3)) + "]"
            section, _, _ = w.section(thin=True)
            w.put("[[member]]", f'kind = "{kind}"', f"section = {section}", f"from = {place(a)}", f"to = {place(b)}")
            if w.maybe(0.7):
                w.put(f'roll = "{round(w.rng.uniform(-15, 15), 1)} deg"')
    return found


def axes(facing, pitch_angle):
    """Along the eave, up the slope, outward, by compass and pitch."""
    f = math.radians(facing)
    out = (math.sin(f), math.cos(f))
    c, s = math.cos(pitch_angle), math.sin(pitch_angle)
    return (-out[1], out[0], 0.0), (-out[0] * c, -out[1] * c, s), (out[0] * s, out[1] * s, c)


def outline(w, _):
    """A slope with slanted edges or steps."""
    width, height = w.size(80, 125), w.size(55, 90)
    a, b = w.size(10, width * 0.35), w.size(10, width * 0.35)
    low, high = w.size(20, height * 0.4), w.size(height * 0.6, height - 12)
    shape = w.rng.choice([
        [(0, 0), (width, 0), (width - a, height), (0, height)],
        [(0, 0), (width, 0), (width - a, height), (b, height)],
        [(a, 0), (width, 0), (width, height), (0, height)],
        [(a, 0), (width - b, 0), (width, height), (0, height)],
        [(0, 0), (width, 0), (w.snap(width / 2), height)],
        [(0, 0), (width, 0), (width, high), (width - a, height), (b, height), (0, low)],
        [(0, 0), (width, 0), (width, low), (width - a - 20, low), (width - a - 20, height), (0, height)],
        [(0, 0), (b, 0), (b, low), (width - a, low), (width - a, 0), (width, 0), (width, height), (0, height)],
        [(0, low), (a, 0), (width, 0), (width, height), (0, height)],
    ])
    text, _ = pitch(w)
    ring = ", ".join(w.pair(x, y) for x, y in shape)
    slope_table(w, "A", azimuth(w), text, far(w), f"outline = [{ring}]")
    return [slope("A", width, height, "outline", len(shape))]


def wing(w, _):
    """A gable with a wing: valleys between slopes that are polygons."""
    text, angle = pitch(w)
    length, half = w.size(110, 150), w.size(40, 52)
    h, a = w.snap(half * w.rng.uniform(0.45, 0.85)), w.size(16, 36)
    middle = w.snap(length * w.rng.uniform(0.42, 0.58))
    facing, point = azimuth(w), far(w)
    c = math.cos(angle)
    up, whole = h / c, half / c
    x, y, _ = axes(facing, 0.0)
    world = lambda along, into: [point[0] + along * x[0] + into * y[0], point[1] + along * x[1] + into * y[1], point[2]]
    ring = lambda corners: "outline = [" + ", ".join(f"[{w.exact(p)}, {w.exact(q)}]" for p, q in corners) + "]"
    slope_table(w, "S", facing, text, world(0, 0), ring([(0, 0), (middle - h, 0), (middle, up), (middle + h, 0), (length, 0), (length, whole), (0, whole)]))
    slope_table(w, "N", (facing + 180) % 360, text, world(length, 2 * half), ring([(0, 0), (length, 0), (length, whole), (0, whole)]))
    slope_table(w, "W", (facing + 90) % 360, text, world(middle - h, h), ring([(h, 0), (h + a, 0), (h + a, up), (0, up)]))
    slope_table(w, "E", (facing + 270) % 360, text, world(middle + h, -a), ring([(0, 0), (a, 0), (a + h, up), (0, up)]))
    setback = w.text(0.75)
    for one, other in (("S.2", "W.4"), ("S.3", "E.2")):
        w.edge(one, framing_setback=setback, shared_with=f'"{other}"')
        w.edge(other, framing_setback=setback)
    w.edge("S.6", shared_with='"N.3"')
    w.edge("W.3", shared_with='"E.3"')
    if w.maybe(0.7):
        lower = w.rng.uniform(0.2, 1.5)
        for side in (-1, 1):
            a0, b0 = world(middle + side * h, 0), world(middle, h)
            a0[2] -= lower
            b0[2] += h * math.tan(angle) - lower
            at = lambda p: "[" + ", ".join(map(w.exact, p)) + "]"
            w.put("[[member]]", 'kind = "valley rafter"', 'section = { nominal = "2x10" }', f"from = {at(a0)}", f"to = {at(b0)}")
    return [slope("S", length, whole, "wing", 7), slope("N", length, whole, "wing"), slope("W", h + a, up, "wing"), slope("E", h + a, up, "wing")]


# --- framing -----------------------------------------------------------------------------------------------------------


def framing(w, slopes):
    spacing = w.size(13, 26)
    plain = all(s["kind"] == "rectangle" for s in slopes)
    for s in slopes if w.maybe(0.5) else [slopes]:
        of = s if isinstance(s, list) else [s]
        section, width, _ = w.section()
        least = min(x["width"] for x in of)
        first = w.snap(width / 2 + (w.rng.uniform(0, 6) if w.maybe(0.5) else 0))
        w.put("[[rafters]]", "slopes = [" + ", ".join(f'"{x["name"]}"' for x in of) + "]", f"section = {section}", f"spacing = {w.text(spacing)}", f"first = {w.text(first)}")
        if w.maybe(0.6):
            w.put(f"last = {w.text(w.snap(least - width / 2 - (w.rng.uniform(0, 6) if w.maybe(0.5) else 0)))}")
            if w.maybe(0.6):
                w.put("close = true")
        low = None
        if plain and w.maybe(0.3):
            low = w.size(6, 20)
            w.put(f"low = {w.text(low)}")
            if w.maybe(0.3):
                w.put(f"cantilever = {w.text(w.size(2, low - 1))}")
        if plain and w.maybe(0.1):
            w.put(f"drop = {w.text(w.size(0.05, 0.3))}")
        for x in of:
            x["rafters"] = (first, spacing, width, least)
    if plain and w.maybe(0.5):
        tails(w, slopes)
    if plain and w.maybe(0.35):
        lookouts(w, slopes)
    if plain and w.maybe(0.2):
        s = slopes[0]
        section, _, _ = w.section(thin=True)
        rows = sorted({w.size(14, s["height"] - 10) for _ in range(w.rng.randint(1, 2))})
        w.put("[[blocking]]", f'slopes = ["{s["name"]}"]', f"section = {section}", f"at = [{', '.join(map(w.text, rows))}]")
        if w.maybe(0.5):
            w.put("[[landings]]", 'over = ["block"]', f'slopes = ["{s["name"]}"]')
            if w.maybe(0.5):
                w.put(f"spacing = {w.text(w.size(6, 14))}")
    if w.maybe(0.6):
        w.deck = w.one(0.4375, 0.5, 0.625, 0.75)
        w.put("[deck]", f"thickness = {w.text(w.deck)}")
    if w.maybe(0.4):
        w.put("[membrane]", f"thickness = {w.text(w.one(0.0625, 0.125)) if not w.mm else chr(34) + '1.5 mm' + chr(34)}")


def tails(w, slopes):
    """Eave tails beside the rafters, and straps that tie them."""
    s = slopes[0]
    first, spacing, width, least = s["rafters"]
    section, tail, _ = w.section(thin=True)
    beside = w.snap(first + (width + tail) / 2 + (w.rng.uniform(0, 0.4) if w.maybe(0.5) else 0))
    high = w.size(22, 34)
    w.put("[[tails]]", f'slopes = ["{s["name"]}"]', f"section = {section}", f"spacing = {w.text(spacing)}", f"first = {w.text(beside)}", f"last = {w.text(w.snap(least - tail / 2))}", f"high = {w.text(high)}")
    if w.maybe(0.75):
        low, top = w.size(2, 6), w.snap(high - w.rng.uniform(0, 5))
        seam = w.snap(low + (top - low) * w.rng.uniform(0.35, 0.65))
        thick = w.one(0.0625, 0.125)
        w.put(
            "[[straps]]", f'slopes = ["{s["name"]}"]', 'along = "tail"', f"shift = {w.text(w.snap(-tail / 2 + w.rng.uniform(-0.7, 0.7)))}",
            f"width = {w.text(w.size(1.1, 2))}", f"thickness = {w.text(thick) if not w.mm else chr(34) + w.one('1 mm', '2 mm') + chr(34)}", f"low = {w.text(low)}", f"high = {w.text(top)}",
            f"seam = {w.text(seam)}", f"gap = {w.text(w.size(2, 5))}", f'place = "{w.one("on tape", "under tape")}"', f'strip = "{w.one("notched", "raised")}"',
            f"nails = {{ diameter = {w.text(0.125) if not w.mm else chr(34) + '3.8 mm' + chr(34)}, length = {w.text(w.size(1.2, 2.6))}, spacing = {w.text(w.size(1.4, 3))}, end = {w.text(w.size(0.8, 1.2))}, stagger = {w.text(w.size(0.2, 0.45))} }}",
        )


def lookouts(w, slopes):
    """Lookouts at the left rake with landings of their own, and a fly rafter."""
    s = slopes[-1]
    section, deep, _ = w.section(thin=True)
    step = w.size(12, 30)
    first, reach = w.size(4, 20), w.size(10, 20)
    fly = w.maybe(0.5)
    w.put("[[lookouts]]", f'slopes = ["{s["name"]}"]', f"section = {section}", f"spacing = {w.text(step)}", f"first = {w.text(first)}", f"last = {w.text(w.snap(s['height'] - 6))}", f"from = {w.text(1.5 if not w.mm else 1.5748031496062993)}", f"to = {w.text(reach)}")
    if fly:
        w.put("[[member]]", 'kind = "fly rafter"', f'slope = "{s["name"]}"', 'section = { nominal = "2x6" }', f"from = {w.pair(w.snap(0.8125), 0)}", f"to = {w.pair(w.snap(0.8125), w.snap(s['height'] - 4))}")
    if w.maybe(0.8):
        w.put("[[landings]]", 'over = ["lookout"]', f'slopes = ["{s["name"]}"]', f"inset = {w.text(w.size(1.5, 4))}")
        if w.maybe(0.4):
            w.put(f"spacing = {w.text(w.size(5, 12))}")


def skylights(w, slopes):
    made = []
    for s in slopes:
        if s["kind"] not in ("rectangle",) or s["height"] < 62 or not w.maybe(0.5):
            continue
        width, height = w.size(12, 24), w.size(10, 20)
        x, y = w.size(20, s["width"] - width - 20), w.size(18, s["height"] - height - 16)
        name = f"hole {s['name']}"
        w.put("[[opening]]", f'slope = "{s["name"]}"', f'name = "{name}"', f"at = {w.pair(x, y)}", f"size = {w.pair(width, height)}")
        made.append((s, name, x, y, width, height))
        if w.maybe(0.7):
            w.put("[[trim]]", f'opening = "{name}"', f'section = {{ nominal = "{w.one("2x8", "2x10")}" }}', f"trimmers = {w.rng.randint(1, 2)}", f"headers = {w.rng.randint(1, 2)}", f"clearance = {w.text(0.5 if not w.mm else 12 / 25.4)}")
    return made


# --- lattice and fasteners ---------------------------------------------------------------------------------------------


def lattice(w):
    w.put("[lattice]")
    tape = [f"width = {w.text(w.size(1.8, 3))}"]
    if w.maybe(0.3):
        tape.append(f'order = "strip first"')
    if w.maybe(0.5):
        tape.append(f"thickness = {w.text(0.0625) if not w.mm else chr(34) + w.one('1 mm', '2 mm') + chr(34)}")
    if w.maybe(0.3):
        tape.append(f'density = "{w.rng.randint(900, 1900)} kg/m3"')
    if w.maybe(0.3):
        tape.append(f"roll = {w.text(w.size(300, 900))}")
    if w.maybe(0.8):
        w.put("tape = { " + ", ".join(tape) + " }")
    strip = [f"width = {w.text(w.size(1.3, 2))}"]
    if w.maybe(0.6):
        strip.append(f"height = {w.text(w.size(0.3, 0.8))}")
    if w.maybe(0.5):
        strip.append(f"stock = {w.text(w.size(36, 96))}")
    if w.maybe(0.25):
        strip.append("doubled_at_rake = true")
    if w.maybe(0.2):
        strip.append(f"wide = {w.text(w.size(2.5, 3.5))}")
    if w.maybe(0.25):
        strip.append(f"gap = {w.text(w.size(0.1, 0.5))}")
    if w.maybe(0.3):
        strip.append(f'density = "{w.rng.randint(150, 500)} kg/m3"')
    if w.maybe(0.8):
        w.put("strip = { " + ", ".join(strip) + " }")
    if w.maybe(0.5):
        vent = [f"width = {w.text(w.size(1.2, 2.8))}"]
        if w.maybe(0.4):
            vent.append(f"stock = {w.text(w.size(30, 60))}")
        w.put("vent = { " + ", ".join(vent) + " }")
    if w.maybe(0.7):
        name = w.one("1x3", "1x4", "1x4", "1x6", "2x2", "2x4", "5/4x4")
        w.batten = {"1": 0.75, "2": 1.5, "5/4": 1.0}[name.split("x")[0]]
        batten = [f'nominal = "{name}"']
    else:
        w.batten = w.size(0.6, 1.6)
        batten = [f"width = {w.text(w.size(1.8, 5))}", f"thickness = {w.text(w.batten)}"]
    batten.append(f"spacing = {w.text(w.size(12, 24))}")
    if w.maybe(0.4):
        batten.append(f"first = {w.text(w.size(3, 6))}")
    if w.maybe(0.4):
        batten.append(f"last = {w.text(w.size(6, 14))}")
    if w.maybe(0.25):
        batten.append('start = "top"')
    if w.maybe(0.3):
        batten.append('boards_from = "right"')
    least = w.size(16, 28)
    longest = w.size(60, 120)
    stock = sorted({longest, w.snap(longest * 0.7)}) if w.maybe(0.5) else [longest]
    batten.append(f"stock = [{', '.join(map(w.text, stock))}]")
    batten.append(f"least_piece = {w.text(least)}")
    joint = w.one("butt", "butt", "doubled", "lap")
    batten.append(f'joint = "{joint}"')
    if joint == "lap" and w.maybe(0.6):
        batten.append(f"lap = {w.text(w.size(6, 16))}")
    if joint != "lap" and w.maybe(0.4):
        batten.append(f"joint_gap = {w.text(w.size(0.0, 0.25))}")
    if w.maybe(0.3):
        batten.append(f'density = "{w.rng.randint(350, 700)} kg/m3"')
    w.put("batten = { " + ", ".join(batten) + " }")
    kinds = [k for k in ("eave", "top", "rake", "hip", "valley") if w.maybe(0.4)]
    if kinds:
        w.put("hold_back = { " + ", ".join(f"{k} = {w.text(w.size(0.2, 3))}" for k in kinds) + " }")
    if w.maybe(0.3):
        w.put(f"opening = {{ clearance = {w.text(w.size(0.5, 2))}, way_round = {w.text(w.size(1, 4))} }}")


def fastening(w):
    diameter = w.one(2.8, 3.1, 3.8, 4.2, 5.0) / 25.4 if w.mm else w.one(0.113, 0.131, 0.148, 0.19)
    text = f'"{round(diameter * 25.4, 3):g} mm"' if w.mm else f'"{diameter:g} in"'
    # Mostly long enough for what lies between, now and then too short.
    through = w.batten + w.deck + 0.5
    length = w.size(2, 4) if w.maybe(0.2) else w.snap(through + w.rng.uniform(10, 15) * diameter)
    w.put("[fastening]", f"diameter = {text}", f"length = {w.text(length)}")
    if w.maybe(0.5):
        w.put(f"head = {w.text(w.snap(diameter * w.rng.uniform(1.9, 2.5)))}")
    if w.maybe(0.5):
        w.put(f'kind = "{w.one("nail", "ring-shank nail", "screw")}"')
    if w.maybe(0.5):
        w.put(f"per_landing = {w.rng.randint(1, 3)}")
    if w.maybe(0.5):
        w.put(f'pattern = "{w.one("up", "across", "diagonal")}"')
        if w.maybe(0.5):
            w.put(f"spread = {w.text(w.size(0.6, 2))}")
    if w.maybe(0.3):
        w.put("predrilled = true")
    limits = [
        ("embedment", 0.8, 1.5), ("edge_distance", 0.25, 0.5), ("end_distance", 0.6, 1.6), ("tape_margin", 0.1, 0.4),
        ("run", 14, 30), ("end_run", 3, 12), ("tolerance", 0.1, 0.5), ("gap", 0.06, 0.2), ("hair", 0.06, 0.1),
    ]
    chosen = [(k, a, b) for k, a, b in limits if w.maybe(0.4)]
    if chosen:
        w.put("[limits]", *(f"{k} = {w.text(w.size(a, b))}" for k, a, b in chosen))


def singles(w, slopes, openings):
    s = slopes[0]
    if w.maybe(0.3) and not openings:
        for _ in range(w.rng.randint(1, 2)):
            w.put("[[landing]]", f'course = "{s["name"]}-B0{w.rng.randint(1, 2)}"', f"x = {w.text(w.size(8, s['width'] - 8))}")
    if w.maybe(0.2):
        x = w.size(20, s["width"] - 30)
        w.put("[[gap]]", f'course = "{s["name"]}-B02"', f"from = {w.text(x)}", f"to = {w.text(w.snap(x + w.rng.uniform(2, 6)))}")


def found(w, slopes, openings):
    if not w.maybe(0.55):
        return
    s = slopes[0]
    first, spacing, width, least = s["rafters"]
    count = int((least - width / 2 - first) / spacing + 1e-9) + 1
    w.put("[found]")
    names = [f"{s['name']}-R{n:02d}" for n in range(2, count)]
    w.rng.shuffle(names)
    bent = names[: w.rng.randint(0, 2)]
    for name in bent:
        ats = sorted({0, w.size(6, 11), w.size(13, 19)} if w.maybe(0.7) and not openings else {0})
        w.put("[[found.member]]", f'name = "{name}"', "offsets = [" + ", ".join(f"{{ at = {w.text(a)}, off = {w.text(w.size(-1.4, 1.4))} }}" for a in ats) + "]")
    for name in names[2:3]:
        if w.maybe(0.5):
            w.put("[[found.member]]", f'name = "{name}"', "missing = true")
    if w.maybe(0.3):
        x = w.size(8, s["width"] - 8)
        w.put("[[found.added]]", 'kind = "rafter"', f'slope = "{s["name"]}"', 'section = { nominal = "2x6" }', f"from = {w.pair(x, w.size(4, 10))}", f"to = {w.pair(w.snap(x + w.rng.uniform(-2, 2)), w.snap(s['height'] - 8))}")
    if len(slopes) == 1 and w.maybe(0.3):
        w.put("[[found.slope]]", f'name = "{s["name"]}"', f"size = {w.pair(w.snap(s['width'] + w.rng.uniform(-0.6, 0.6)), w.snap(s['height'] + w.rng.uniform(-0.6, 0.6)))}")


def laid(w, slopes):
    if not w.maybe(0.2):
        return
    name = slopes[0]["name"]
    what = w.rng.sample(["tape", "strips", "battens", "fasteners", "vent pieces", "straps"], w.rng.randint(1, 3))
    w.put("[[laid]]", f"what = [{', '.join(chr(34) + k + chr(34) for k in what)}]", f'slopes = ["{name}"]')


def hold_backs_of_edges(w, slopes):
    for s in slopes:
        if w.maybe(0.25):
            w.edge(f"{s['name']}.{w.rng.randint(1, s['edges'])}" if s["kind"] != "hip" else f"{s['name']}.1", hold_back=w.text(w.size(0.3, 4)))
        if s["kind"] in ("rectangle", "outline") and w.maybe(0.15):
            w.edge(f"{s['name']}.1", cut=f'"{w.one("square", "level", "plumb")}"')
        if s["kind"] == "rectangle" and w.maybe(0.15):
            w.edge(f"{s['name']}.3", vent="false")
