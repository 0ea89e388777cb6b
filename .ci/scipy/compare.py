"""The house of solver/flow solved by SciPy on the same equations, beside our own solver, in one run.

    apt-get install python3-scipy
    /usr/bin/python3 .ci/scipy/compare.py

Two ways with SciPy: root(method="hybr") on the node pressures with the exact Jacobian, and Newton on flows and pressures with a sparse
direct factor (splu). Both start where they are known to converge. Quoted are ratios: all three are timed here, one after the other.
"""
import json, re, subprocess, tempfile, time
import numpy as np
from scipy import optimize, sparse
from scipy.sparse.linalg import splu

with tempfile.NamedTemporaryFile(suffix=".json") as f:
    subprocess.run(["go", "test", "./solver/flow", "-count=1", "-run", "TestHouseEquations", "-args", "-export-house", f.name], check=True,
                   stdout=subprocess.DEVNULL)
    house = json.load(open(f.name))

edges, n, machine = house["edges"], house["nodes"], house["machine"]
c0, c1, c2 = house["curve"]
tail = np.array([e["Tail"] for e in edges]); head = np.array([e["Head"] for e in edges])
R = np.array([e["Resistance"] for e in edges]); d = np.array([e["Knee"] for e in edges])
m = len(edges)
duct = np.arange(m) != machine
A = np.zeros((m, n)); A[np.arange(m), tail] = 1; A[np.arange(m), head] = -1
A = A[:, 1:]  # node 0 is known
As = sparse.csc_matrix(A)


def drop(q):
    root = np.sqrt(q * q + d * d)
    f, s = R * q * root, R * (2 * q * q + d * d) / root
    f[machine], s[machine] = -(c0 + c1 * q[machine] + c2 * q[machine] ** 2), -(c1 + 2 * c2 * q[machine])
    return f, s


def inverse(u):
    """Flow by drop, and its slope, in closed form."""
    v = np.divide(u, R, out=np.zeros_like(u), where=duct)
    q = np.sign(v) * np.sqrt(2 * v * v / (d * d + np.sqrt(d ** 4 + 4 * v * v) + 1e-300))
    root = np.sqrt(q * q + d * d)
    slope = np.divide(root, R * (2 * q * q + d * d), out=np.zeros_like(u), where=duct)
    rise = -u[machine]
    disc = np.sqrt(max(c1 * c1 - 4 * c2 * (c0 - rise), 1e-12))
    q[machine] = (-c1 - disc) / (2 * c2)
    slope[machine] = 1 / disc
    return q, slope


def residual(p):
    q, w = inverse(A @ p)
    return A.T @ q, A.T @ (w[:, None] * A)


def hybr():
    s = optimize.root(residual, np.zeros(n - 1), jac=True, method="hybr", tol=1e-10)
    assert s.success, s.message
    return s.x


def sparse_newton():
    q = np.full(m, 0.05)
    f, s = drop(q)
    for _ in range(60):
        w = 1 / s
        p = splu((As.T @ sparse.diags(w) @ As).tocsc()).solve(-As.T @ (q - w * f))
        dq = w * (As @ p - f)
        q = q + dq
        f, s = drop(q)
        if np.max(np.abs(dq)) < 1e-12:
            return p
    raise AssertionError("no convergence")


def clock(solve, seconds=2.0):
    want = np.array(house["pressure"])[1:]
    assert np.max(np.abs(solve() - want)) < 1e-4, "a different solution"
    count, start = 0, time.perf_counter()
    while time.perf_counter() - start < seconds:
        solve()
        count += 1
    return (time.perf_counter() - start) / count


def ours():
    out = subprocess.run(["go", "test", "./solver/flow", "-run", "^$", "-bench", "ColdSolve/quadratic", "-benchtime", "2s"], check=True,
                         capture_output=True, text=True).stdout
    return float(re.search(r"([0-9.]+) ns/op", out).group(1)) * 1e-9


t = ours()
print(f"ours           {t * 1e6:9.1f} us   1")
for name, solve in (("root (hybr)", hybr), ("sparse Newton", sparse_newton)):
    s = clock(solve)
    print(f"{name:14s} {s * 1e6:9.1f} us   {s / t:.0f}")
