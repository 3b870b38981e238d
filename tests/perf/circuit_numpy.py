"""The circuit work of circuit.perf.ts in numpy and scipy, on the same numbers. Prints JSON: times in ms, largest error.

  solves  batched numpy.linalg.solve (LAPACK, one thread) of the same matrices, and the same elimination written out on arrays
  fit     scipy.optimize.least_squares with the Jacobian from the adjoint solve, matrices built and solved in batches
"""
import json
import sys
import time

import numpy as np


def median_ms(work, rounds):
    times = []
    for i in range(2 * rounds):
        start = time.process_time()
        work()
        if i >= rounds:
            times.append(1000 * (time.process_time() - start))
    return sorted(times)[rounds // 2]


def term_value(term, p, s):
    slots, form = term["slots"], term["form"]
    one = np.ones_like(s)
    if form == "one":
        return one
    v = [p[..., k] if k >= 0 else 0 for k in slots]
    if form == "conductance":
        return v[0] * one
    if form == "capacitance":
        return s * v[0]
    if form == "series-rc":
        return s * v[0] / (1 + s * v[0] * v[1])
    if form == "series-rl":
        return 1 / (v[1] + s * v[0])
    gain = v[1:] if form == "transconductance" else v
    inverse = (gain[0] + s * gain[1]) * (1 + s * gain[2])
    return v[0] / inverse if form == "transconductance" else inverse


def build(job, p, s):
    a = np.zeros(s.shape + (job["size"], job["size"]), complex)
    b = np.zeros(s.shape + (job["size"],), complex)
    values = [term_value(t, p, s) for t in job["terms"]]
    for stamp in job["stamps"]:
        x = stamp["factor"] * values[stamp["term"]]
        if stamp["column"] < 0:
            b[..., stamp["row"]] += x
        else:
            a[..., stamp["row"], stamp["column"]] += x
    return a, b


def vectorised(job):
    """The elimination as a Python function on arrays, one statement per operation."""
    lines, once = ["def run(p, w):"], {}
    for k, op in enumerate(job["operations"]):
        if op is None:
            continue
        code, a, b, _ = op
        text = {
            "omega": "w",
            "input": f"p[{a}]",
            "constant": repr(float(a)),
            "add": f"v{a} + v{b}",
            "subtract": f"v{a} - v{b}",
            "multiply": f"v{a} * v{b}",
            "reciprocal": f"1 / v{a}",
            "negate": f"-v{a}",
        }[code]
        lines.append(f"    v{k} = {text}")
    lines.append(f"    return v{job['outputs'][0]}, v{job['outputs'][1]}")
    exec("\n".join(lines), once)
    return once["run"]


def solves(job):
    omega = np.array(job["omega"])
    tables = np.array(job["tables"])
    p = np.repeat(tables[:, None, :], len(omega), 1)
    s = np.broadcast_to(1j * omega, p.shape[:2])
    a, b = build(job, p, s)
    a2, b2 = a.reshape(-1, job["size"], job["size"]), b.reshape(-1, job["size"], 1)
    lapack = median_ms(lambda: np.linalg.solve(a2, b2), 2)
    run = vectorised(job)

    def by_board():
        # Frequencies in the array, boards in the loop, as the generated code has it; 1,205 numbers lie well in the cache.
        for k in range(0, len(tables), 5):
            run(tables[k : k + 5].T[:, :, None], omega[None, :])

    with np.errstate(all="ignore"):
        array_ms = min(median_ms(by_board, 3), median_ms(lambda: [run(t, omega) for t in tables], 3))
    expected = np.array(job["expected"]).reshape(-1, 2) @ [1, 1j]
    n = len(expected)
    x = np.linalg.solve(a2[:n], b2[:n])
    plain = x[:, job["outputIndex"], 0].copy()
    # Refinement in extended precision, so that the reference is better than both.
    x = x.astype(np.clongdouble)
    for _ in range(3):
        rest = b2[:n] - a2[:n].astype(np.clongdouble) @ x
        x = x + np.linalg.solve(a2[:n], rest.astype(complex))
    exact = x[:, job["outputIndex"], 0]
    error = lambda y: float(np.max(np.abs(y - exact) / np.abs(exact)))
    return {"lapackMs": lapack, "vectorisedMs": array_ms, "error": error(expected), "lapackError": error(plain)}


def fit(job):
    from scipy.optimize import least_squares

    s = 1j * np.array(job["omega"])[None, :]
    base = np.array(job["tables"])[:, None, :]
    gains = np.array(job["gains"])
    slots = [f["slot"] for f in job["fitted"]]
    inverse = np.array([f["inverse"] for f in job["fitted"]])
    sign = np.where(inverse, -1.0, 1.0)
    e = np.zeros((job["size"], 1), complex)
    e[job["outputIndex"]] = 1
    full_s = np.broadcast_to(s, gains.shape)
    by_term = {}
    for stamp in job["stamps"]:
        by_term.setdefault(stamp["term"], []).append(stamp)
    term_of = [next(k for k, t in enumerate(job["terms"]) if t["slots"] and t["slots"][0] == slot) for slot in slots]
    state = {}

    def evaluate(theta):
        p = np.repeat(base, s.shape[1], 1)
        p[..., slots] *= np.exp(sign * theta)
        a, b = build(job, p, full_s)
        x = np.linalg.solve(a, b[..., None])[..., 0]
        h = x[..., job["outputIndex"]]
        state.update(theta=theta.copy(), p=p, a=a, x=x, h=h)
        return np.concatenate([((20 * np.log10(np.abs(h)) - gains) / 0.05).ravel(), theta / 0.3])

    def jacobian(theta):
        if not np.array_equal(theta, state.get("theta")):
            evaluate(theta)
        y = np.linalg.solve(np.swapaxes(state["a"], -1, -2), np.broadcast_to(e, state["a"].shape[:-1] + (1,)))[..., 0]
        columns = []
        for k, slot in enumerate(slots):
            term = job["terms"][term_of[k]]
            d = full_s if term["form"] == "capacitance" else np.ones_like(full_s)
            total = 0
            for stamp in by_term[term_of[k]]:
                v = -1 if stamp["column"] < 0 else state["x"][..., stamp["column"]]
                total = total - stamp["factor"] * y[..., stamp["row"]] * v
            dh = total * d * state["p"][..., slot] * sign[k]
            columns.append((20 / np.log(10) * (dh / state["h"]).real / 0.05).ravel())
        return np.vstack([np.array(columns).T, np.eye(len(slots)) / 0.3])

    start = np.zeros(len(slots))
    run = lambda: least_squares(evaluate, start, jacobian, method="lm", xtol=1e-7, ftol=1e-10, gtol=1e-10)
    answer = np.array([f["answer"] for f in job["fitted"]])
    return {"fitMs": median_ms(run, 10), "error": float(np.max(np.abs(run().x - answer)))}


job = json.load(open(sys.argv[1]))
print(json.dumps({"solves": solves, "fit": fit}[job["task"]](job)))
