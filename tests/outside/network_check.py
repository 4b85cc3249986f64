"""Networks of readings by scipy, against what the program makes of them: values, what they have in common, and which slips show.

The values by scipy's least_squares over readings made independent by Cholesky's factor of their covariance; covariances,
redundancies and the least slip (Baarda 1968) by numpy's orthogonal factors.
"""

import json
import sys

import numpy as np
from scipy.linalg import cholesky, solve_triangular
from scipy.optimize import least_squares

SAME = 1e-9
FOUND = 4.1321  # 3.2905 + 0.8416: one in a thousand suspected, 80 % found


def differences(told):
    readings, count = told["readings"], len(told["values"])
    causes = sorted({name for one in readings for name, _ in one["parts"]})
    parts = np.zeros((len(readings), len(causes)))
    slopes = np.zeros((len(readings), count))
    for row, one in enumerate(readings):
        for name, u in one["parts"]:
            parts[row, causes.index(name)] += u
        for unknown, factor in one["terms"]:
            slopes[row, unknown] += factor
    value = np.array([one["value"] for one in readings])
    # In the weights nothing is known to less than a nanometre, as in the program.
    lower = cholesky(parts @ parts.T + 1e-12 * np.eye(len(readings)), lower=True)
    white, read = solve_triangular(lower, slopes, lower=True), solve_triangular(lower, value, lower=True)
    found = least_squares(lambda x: white @ x - read, np.zeros(count), jac=lambda x: white, method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15)
    yield "values", np.abs(found.x - told["values"]).max() / np.abs(value).max()
    # By orthogonal factors: the solution as sums of the readings, and what these have beside it.
    spanned, upper = np.linalg.qr(white)
    back = solve_triangular(lower, np.eye(len(readings)), lower=True)
    sums = solve_triangular(upper, spanned.T @ back)
    common = (sums @ parts) @ (sums @ parts).T
    yield "covariances", np.abs(common - told["covariances"]).max() / np.abs(common).max()
    beside = np.eye(len(readings)) - spanned @ spanned.T
    left = lower @ beside @ back
    yield "redundancies", np.abs(np.diag(left) - told["redundancies"]).max()
    alone = back.T @ beside @ back
    for number, slip in enumerate(told["least_slips"]):
        if slip is not None and left[number, number] > 1e-3:
            off = alone[number] / alone[number, number] @ parts
            yield "least slips", abs(FOUND * np.linalg.norm(off) / slip - 1)


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        networks = json.load(file)
    worst = {}
    for told in networks:
        for what, off in differences(told):
            worst[what] = max(worst.get(what, 0.0), off)
    print(f"{len(networks)} networks of readings against scipy's least_squares:", ", ".join(f"{what} to {off:.1e}" for what, off in worst.items()))
    if len(networks) < 100 or max(worst.values()) > SAME:
        print(f"asked: {SAME:.0e}")
        sys.exit(1)


main()
