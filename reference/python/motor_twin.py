"""A motor that starts from rest, integrated in time.

The program takes the working point off the motor line. Here the circuit and the shaft are followed as they are:

    L di/dt = u_t - R i - K w         u_t = U - Rs i
    J dw/dt = K i - T0 - T            T0 = K I0, T the load

from standstill until nothing changes any more (scipy.integrate.solve_ivp, LSODA). The load and the friction act once the shaft turns. With no
inductance the current follows at once, and the time to 1 - 1/e of the speed is the mechanical time constant.

A chopping controller is followed switch by switch: the winding lies at U for the share u of each period and is shorted for the rest; each piece
is a linear system with a constant input, solved by its matrix exponential (scipy.linalg.expm).

SI units throughout.
"""
import json
import sys

try:
    import numpy as np
    from scipy.integrate import solve_ivp
    from scipy.linalg import expm
except ImportError as missing:
    print(f"{missing}: the reference checks need NumPy and SciPy for /usr/bin/python3; on Debian: "
          "apt-get install --no-install-recommends python3-numpy python3-scipy", file=sys.stderr)
    sys.exit(3)


def start(case):
    R, Rs, K, U, J, L = (case[k] for k in ("r", "source", "k", "u", "j", "l"))
    drag = K * case["i0"] + case["load"]

    def shaft(torque, w):
        if w <= 0 and torque < drag:
            return 0.0  # friction and load hold it, they do not turn it back
        return (torque - drag) / J

    if L == 0:
        def f(_, y):
            i = (U - K * y[0]) / (R + Rs)
            return [shaft(K * i, y[0])]
        y0 = [0.0]
    else:
        def f(_, y):
            return [(U - (R + Rs) * y[0] - K * y[1]) / L, shaft(K * y[0], y[1])]
        y0 = [0.0, 0.0]
    tau = J * (R + Rs) / K**2
    out = solve_ivp(f, (0, 40 * tau), y0, method="LSODA", rtol=1e-11, atol=1e-12, dense_output=True)
    w = out.y[-1, -1]
    i = (U - K * w) / (R + Rs) if L == 0 else out.y[0, -1]
    lo, hi = 0.0, 40 * tau  # time to 1 - 1/e of the speed
    for _ in range(80):
        mid = (lo + hi) / 2
        if out.sol(mid)[-1] < (1 - np.exp(-1)) * w:
            lo = mid
        else:
            hi = mid
    return {"speed": w, "current": i, "time": lo}


def chop(case):
    R, K, U, J, L, duty = (case[k] for k in ("r", "k", "u", "j", "l", "duty"))
    drag = K * case["i0"] + case["load"]
    period = 1 / case["hertz"]

    def piece(volts, seconds):
        a = np.zeros((3, 3))
        a[0] = [-R / L, -K / L, volts / L]
        a[1] = [K / J, 0, -drag / J]
        return expm(a * seconds)
    on, off = piece(U, duty * period), piece(0.0, (1 - duty) * period)
    # The state that a whole period brings back to itself.
    both = off @ on
    y = np.append(np.linalg.solve(np.eye(2) - both[:2, :2], both[:2, 2]), 1.0)
    n, current, speed, pack = 2000, 0.0, 0.0, 0.0
    for volts, share in ((U, duty), (0.0, 1 - duty)):
        m = piece(volts, share * period / n)
        for _ in range(n):
            z = m @ y
            mean = (y + z) / 2
            current += mean[0] * share / n
            speed += mean[1] * share / n
            pack += mean[0] * share / n if volts else 0
            y = z
    return {"speed": speed, "current": current, "pack": pack}


def main():
    q = json.load(sys.stdin)
    json.dump({"starts": [start(c) for c in q["starts"]], "chops": [chop(c) for c in q["chops"]]}, sys.stdout)


main()
