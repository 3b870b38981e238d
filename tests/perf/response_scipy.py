"""The analysis of tests/perf/response.perf.ts written for numpy and scipy, tuned as well as we can.

The same algorithm: one real transform, multiplication by the inverse filter, inverse transforms at falling rates, windowed
sums at the grid frequencies (as matrix products over precomputed kernels), noise from quiet lags, choice of window, pure
delay by minimum phase, curve, harmonics. Plans are made at the first call and kept, as on the other side.
"""
import json
import sys
import time

import numpy as np
from scipy import fft

folder = sys.argv[1]
work = json.load(open(f"{folder}/work.json"))
sweep = np.fromfile(f"{folder}/sweep.f64")
recording = np.fromfile(f"{folder}/recording.f64")
GRID = np.array(work["grid"])
RATE, L, SIZE = work["rateHz"], work["rateS"], work["size"]
COUNT = len(GRID)
STEP = np.log(10) / 80
FROM, TO = work["settings"]["fromHz"], work["settings"]["toHz"]


def fold(x, size):
    out = np.zeros(size)
    for at in range(0, len(x), size):
        part = x[at : at + size]
        out[: len(part)] += part
    return out


def inverse_filter():
    body = sweep[work["body"]["startSample"] : work["body"]["endSample"]]
    s = fft.rfft(fold(body, SIZE))
    f = np.arange(SIZE // 2 + 1) * RATE / SIZE
    power = np.abs(s) ** 2
    band = (f >= FROM) & (f <= TO)
    floor = 1e-6 * np.max(power[band] * f[band])
    corner = FROM * np.exp(-work["runInS"] / L) * 1.2
    stop = min(0.495 * RATE, TO * max(np.exp(work["runOutS"] / L), 1.02))
    width = np.log(stop / TO)
    high_from, high_to = TO * np.exp(0.1 * width), TO * np.exp(0.95 * width)
    with np.errstate(divide="ignore", invalid="ignore"):
        p = -1j * corner / f
        low = np.ones_like(p)
        for section in range(3):
            low = low / (1 + 2 * np.sin(np.pi * (2 * section + 1) / 12) * p + p * p)
        high = 0.5 + 0.5 * np.cos(np.pi * np.clip((f - high_from) / (high_to - high_from), 0, 1))
        g = np.conj(s) * low * high / (power + floor / f)
    g[0] = 0
    return g


def level_of():
    level = np.zeros(COUNT, int)
    for i, f in enumerate(GRID):
        while level[i] + 1 < work["levels"] and f <= RATE / 4.0 ** (level[i] + 2):
            level[i] += 1
    return level


LEVEL = level_of()


class Kernels:
    """Per level: a real matrix (cosines over sines) of all its frequencies, padded to one length and centre."""

    def __init__(self, windows):
        self.groups = []
        self.width = np.zeros(COUNT)
        for level in range(work["levels"]):
            index = np.flatnonzero(LEVEL == level)
            if len(index) == 0:
                continue
            rate = RATE / 4.0**level
            part = [windows[i] for i in index]
            before = max(int((w["flatBeforeS"] + w["fadeInS"]) * rate) for w in part)
            after = max(int((w["flatAfterS"] + w["fadeOutS"]) * rate) for w in part)
            t = np.arange(-before, after + 1) / rate
            rows = np.empty((2, len(index), len(t)))
            for row, (i, w) in enumerate(zip(index, part)):
                flat = np.where(t < 0, w["flatBeforeS"], w["flatAfterS"])
                fade = np.where(t < 0, w["fadeInS"], w["fadeOutS"])
                weight = 0.5 + 0.5 * np.cos(np.pi * np.clip((np.abs(t) - flat) / fade, 0, 1))
                self.width[i] = np.sum(weight**2) / rate
                rows[0, row] = weight * np.cos(2 * np.pi * GRID[i] * t)
                rows[1, row] = -weight * np.sin(2 * np.pi * GRID[i] * t)
            slots = slice(index[0], index[-1] + 1)
            self.groups.append((level, rate, before, rows.reshape(-1, len(t)), slots, GRID[slots]))

    def read(self, levels, centres, zero):
        out = np.empty((COUNT, len(centres)), complex)
        for level, rate, before, rows, slots, grid in self.groups:
            samples = levels[level]
            starts = [round(c * rate) for c in centres]
            length = rows.shape[1]
            if len(starts) == 1:
                start = (starts[0] - before) % len(samples)
                piece = samples[start : start + length]
                if len(piece) < length:
                    piece = np.concatenate((piece, samples[: length - len(piece)]))
                both = (rows @ piece)[:, None]
            else:
                at = (np.array(starts)[None, :] - before + np.arange(length)[:, None]) % len(samples)
                both = rows @ samples[at]
            half = len(both) // 2
            value = both[:half] + 1j * both[half:]
            if zero is not None:
                value *= np.exp(2j * np.pi * grid * (zero - starts[0] / rate))[:, None]
            out[slots] = value
        return out


def levels_of(bins):
    levels = [fft.irfft(bins, SIZE)]
    for level in range(1, work["levels"]):
        size = SIZE // 4**level
        levels.append(fft.irfft(bins[: size // 2 + 1] * plan["taper"][level], size))
    return levels


def minimum_phase_matrix():
    pieces = (np.arange(64) + 0.5) / 64
    u = (np.arange(COUNT)[:, None] + pieces) * STEP
    weight = np.sum(-np.log(np.tanh(u / 2)), axis=1) * STEP / 64
    i = np.arange(COUNT)[:, None]
    s = np.arange(COUNT - 1)[None, :]
    return weight[np.where(i <= s, s - i, i - s - 1)] / np.pi / STEP


def coverage(lag):
    period = SIZE / RATE
    stretch = (work["stretchEnd"] - work["body"]["startSample"]) / RATE
    first = (work["runInS"] + L * np.log(GRID / FROM) + lag) % period
    return np.where(first > stretch, 0, 1 + np.floor((stretch - first) / period))


plan = {}


def make_plan():
    plan["filter"] = inverse_filter()
    plan["taper"] = [None]
    for level in range(1, work["levels"]):
        part = np.arange(SIZE // 4**level // 2 + 1) / (SIZE // 4**level // 2)
        plan["taper"].append(0.5 + 0.5 * np.cos(np.pi * np.clip((part - 0.6) / 0.4, 0, 1)))
    body = sweep[work["body"]["startSample"] : work["body"]["endSample"]]
    own = levels_of(fft.rfft(fold(body, SIZE)) * plan["filter"])
    for name, windows in work["windows"].items():
        kernels = Kernels(windows)
        plan[name] = (kernels, kernels.read(own, [0], 0)[:, 0])
    plan["bode"] = minimum_phase_matrix()
    covered = np.stack([coverage(lag) for lag in work["quietLags"]], axis=1)
    count = np.sum(covered > 0, axis=1)
    plan["covered"] = np.where(covered > 0, covered, 1e-300)  # what was not recorded sorts to the end
    plan["middle"] = np.ceil(count / 2).astype(int) - 1
    plan["expected"] = np.array([sum(1 / k for k in range(n - m, n + 1)) for n, m in zip(count, plan["middle"])])
    plan["near"] = around(np.ones(COUNT), 4)
    plan["inband"] = np.where((GRID >= 200) & (GRID <= 8000), 1, 1e-6)


def around(values, reach):
    sums = np.concatenate(([0.0], np.cumsum(values)))
    i = np.arange(len(values))
    return sums[np.minimum(len(values), i + reach + 1)] - sums[np.maximum(0, i - reach)]


def read(name, levels, centre, zero):
    kernels, own = plan[name]
    return kernels.read(levels, [centre], zero)[:, 0] / own


def noise_of(levels):
    kernels = plan["noise"][0]
    values = kernels.read(levels, work["quietLags"], None)
    power = np.sort((values.real**2 + values.imag**2) / plan["covered"], axis=1)
    middle = power[np.arange(COUNT), plan["middle"]] / plan["expected"] / kernels.width
    return around(middle, 4) / plan["near"]


def choose(long, short, noise):
    between = np.maximum(0, noise * (plan["long"][0].width - plan["short"][0].width))
    d = long - short
    difference = around(d.real**2 + d.imag**2, 3)
    expected = around(between, 3)
    part = np.where(difference > expected, 1 - expected / difference, 0)
    return short + part * d, noise * plan["short"][0].width + part**2 * between


def pure_delay(response, near, noise_power):
    power = response.real**2 + response.imag**2
    minimum = plan["bode"] @ np.diff(0.5 * np.log(power))
    weight = plan["inband"] * power / (power + 1e4 * noise_power)
    start = int(np.argmax(weight))
    total = np.sum(weight)
    x = GRID - np.sum(weight * GRID) / total
    delay = near
    for _ in range(3):
        excess = np.unwrap(np.angle(response * np.exp(2j * np.pi * GRID * delay)) - minimum)
        excess -= 2 * np.pi * np.round(excess[start] / (2 * np.pi))
        slope = np.sum(weight * x * excess) / np.sum(weight * x * x)
        delay -= slope / (2 * np.pi)
    return delay


def between_points(values, f):
    at = np.log(f / GRID[0]) / STEP
    i = np.clip(np.floor(at).astype(int), 0, COUNT - 2)
    t = at - i
    a, b = values[np.maximum(i - 1, 0)], values[i]
    c, d = values[i + 1], values[np.minimum(i + 2, COUNT - 1)]
    return b + 0.5 * t * (c - a + t * (2 * a - 5 * b + 4 * c - d + t * (3 * (b - c) + d - a)))


def distortion(levels, centre, noise, response):
    fundamental = response.real**2 + response.imag**2
    end = min(TO, GRID[-1]) * 1.0001
    points = GRID[2 * GRID <= end]
    count = len(points)
    orders, sums = {}, np.zeros(count)
    for order in (2, 3, 4, 5):
        value = read(str(order), levels, centre - L * np.log(order), None)
        power = value.real**2 + value.imag**2
        noise_power = noise * plan[str(order)][0].width
        net = 10 * np.log10(np.maximum(power - noise_power, noise_power))
        inside = int(np.searchsorted(order * points, end))
        f = order * points[:inside]
        level = between_points(net, f)
        clear = between_points(power, f) > 2 * between_points(noise_power, f)
        sums[:inside] += np.where(clear, 10 ** (level / 10), 0)
        orders[order] = level - 10 * np.log10(fundamental[:inside])
    return orders, 100 * np.sqrt(sums / fundamental[:count])


def analyse():
    if not plan:
        make_plan()
    stretch = recording[work["body"]["startSample"] : work["stretchEnd"]]
    bins = fft.rfft(fold(stretch, SIZE))
    bins *= plan["filter"]
    levels = levels_of(bins)
    reach = int(0.05 * RATE)
    near = np.abs(np.concatenate((levels[0][-reach:], levels[0][: reach + 1])))
    peak = (int(np.argmax(near)) - reach) / RATE
    noise = noise_of(levels)
    response, noise_power = choose(read("long", levels, peak, 0), read("short", levels, peak, 0), noise)
    delay = pure_delay(response, peak, noise_power)
    orders, thd = distortion(levels, peak, noise, response)
    response = response * np.exp(2j * np.pi * GRID * delay)
    power = response.real**2 + response.imag**2
    gain = 10 * np.log10(power)
    phase = np.degrees(np.unwrap(np.angle(response)))
    phase -= 360 * np.ceil((phase[136] - 180) / 360)
    uncertainty = np.hypot(20 / np.log(10) * np.sqrt(noise_power / power / 2), 0.0003)
    w = work["windows"]["long"][0]
    centre = round(delay * RATE)
    before = int(np.ceil((w["flatBeforeS"] + w["fadeInS"] + 0.05) * RATE))
    after = int(np.ceil(2.05 * RATE))
    impulse = np.concatenate((levels[0][centre - before :], levels[0][: centre + after]))
    return gain, phase, uncertainty, orders, thd, impulse


def timed(clock):
    start = clock()
    result = analyse()
    return (clock() - start) * 1e3, result


first, result = timed(time.perf_counter)
if sys.argv[2:] == ["first"]:
    print(first)
    sys.exit()
warm = float(np.median([timed(time.process_time)[0] for _ in range(60)]))
expected = work["expected"]
print(
    json.dumps(
        {
            "firstMs": first,
            "warmMs": warm,
            "differenceDb": float(np.max(np.abs(result[0] - expected["gainDb"]))),
            "differenceThd": float(np.max(np.abs(result[4] - expected["thdPercent"]))),
        }
    )
)
