"""Student's t by mpmath with 50 digits, against the table that the Rust test is held to.

`student_check.py --write FILE` writes the table, `student_check.py FILE` works it out anew and compares.
"""

import random
import sys

from mpmath import betainc, mp, mpf


def below(t: float, freedom: float) -> mpf:
    """P(T <= -t)."""
    nu, squared = mpf(freedom), mpf(t) ** 2
    if t < 1:
        return mpf(1) / 2 - betainc(mpf(1) / 2, nu / 2, 0, squared / (nu + squared), regularized=True) / 2
    return betainc(nu / 2, mpf(1) / 2, 0, nu / (nu + squared), regularized=True) / 2


def places() -> list[tuple[float, float]]:
    """Powers of ten and what lies between, where the program changes its formula too."""
    draw = random.Random(7)
    freedoms = [1.0, 1.5, 2.0, 3.0, 4.7, 8.9, 9.1, 10.0, 30.0, 100.0, 1e3, 1e4, 3e4, 1e5, 1e6]
    freedoms += [10 ** draw.uniform(0, 6) for _ in range(15)]
    fixed = [1e-9, 1e-6, 1e-3, 0.02, 0.5, 1.73, 1.74, 2.99, 3.01, 8.0, 12.0, 50.0]
    return [(t, nu) for nu in freedoms for t in fixed + [10 ** draw.uniform(-9, 1.69) for _ in range(12)]]


def main() -> None:
    mp.dps = 50
    if sys.argv[1] == "--write":
        with open(sys.argv[2], "w", encoding="utf-8") as file:
            file.write("t,degrees of freedom,P(T <= -t)\n")
            for t, nu in places():
                file.write(f"{t!r},{nu!r},{mp.nstr(below(t, nu), 20)}\n")
        return
    with open(sys.argv[1], encoding="utf-8") as file:
        rows = [line.split(",") for line in file.read().splitlines()[1:]]
    assert len(rows) == len(places()), len(rows)
    worst = max(abs(below(float(t), float(nu)) - mpf(p)) for t, nu, p in rows)
    assert worst < mpf(10) ** -18, worst
    print(f"Student's t: {len(rows)} values of the table are mpmath's, to {mp.nstr(worst, 2)}")


main()
