"""An axle on its links, solved a second way.

The program finds an axle's pose by Newton's method on four unknowns, with the rotation as steer, roll and spin angles. Here the
unknowns are the origin and a quaternion, seven in all; the equations are four link lengths, the heave, the roll (the height of
the wheel axis' end) and the quaternion's size; the solver is MINPACK's Powell hybrid method (scipy.optimize.fsolve), and what
is left is polished by Levenberg-Marquardt (scipy.optimize.least_squares). Rates of motion are differences of solutions, and
what the links do with forces is a balance of forces.

Units: mm and rad. Frames as everywhere: x forward, y left, z up.
"""
import sys

try:
    import numpy as np
    from scipy.optimize import fsolve, least_squares
    from scipy.spatial.transform import Rotation
except ImportError as missing:
    print(f"{missing}: the reference checks need NumPy and SciPy for /usr/bin/python3; on Debian: "
          "apt-get install --no-install-recommends python3-numpy python3-scipy", file=sys.stderr)
    sys.exit(3)

ARM = 50.0  # mm: weighs turns against shifts


def quaternion(matrix):
    x, y, z, w = Rotation.from_matrix(np.reshape(matrix, (3, 3))).as_quat()
    return np.array([w, x, y, z])


def cross_matrix(v):
    return np.array([[0, -v[2], v[1]], [v[2], 0, -v[0]], [-v[1], v[0], 0]])


class Axle:
    def __init__(self, chassis, axle, length):
        self.c = np.array(chassis, float)
        self.a = np.array(axle, float)
        self.length = np.array(length, float)

    @staticmethod
    def matrix(q):
        """Rotation of a quaternion of any size, times its size squared."""
        w, x, y, z = q
        return np.array([
            [w * w + x * x - y * y - z * z, 2 * (x * y - w * z), 2 * (x * z + w * y)],
            [2 * (x * y + w * z), w * w - x * x + y * y - z * z, 2 * (y * z - w * x)],
            [2 * (x * z - w * y), 2 * (y * z + w * x), w * w - x * x - y * y + z * z]])

    def equations(self, u, z, roll):
        p, q = u[:3], u[3:]
        r = self.matrix(q)
        d = p + self.a @ r.T - self.c
        out = np.empty(7)
        out[:4] = ((d * d).sum(1) - self.length**2) / (2 * self.length)
        out[4] = p[2] - z
        out[5] = ARM * (r[2, 1] - np.sin(roll))  # the wheel axis is R y; its height is sin(roll)
        out[6] = ARM / 2 * (q @ q - 1)
        return out

    def derivative(self, u, z, roll):
        p, q = u[:3], u[3:]
        r = self.matrix(q)
        d = p + self.a @ r.T - self.c
        n = d / self.length[:, None]
        w, v = q[0], q[1:]
        a = self.a
        va, na, nv = a @ v, (n * a).sum(1), n @ v
        out = np.zeros((7, 7))
        out[:4, :3] = n
        out[:4, 3] = 2 * (w * na + (n @ cross_matrix(v) * a).sum(1))  # n · (w a + v × a)
        nxa = np.stack([n[:, 1] * a[:, 2] - n[:, 2] * a[:, 1], n[:, 2] * a[:, 0] - n[:, 0] * a[:, 2], n[:, 0] * a[:, 1] - n[:, 1] * a[:, 0]], 1)
        out[:4, 4:] = 2 * (va[:, None] * n + nv[:, None] * a - na[:, None] * v - w * nxa)
        out[4, 2] = 1
        out[5, 3:] = ARM * np.array([2 * q[1], 2 * q[0], 2 * q[3], 2 * q[2]])
        out[6, 3:] = ARM * q
        return out

    def solve(self, u, z, roll):
        """The pose at heave z and roll, from the pose u; None where no solution is found."""
        got = fsolve(self.equations, u, (z, roll), self.derivative, full_output=True, xtol=1e-14)[0]
        if np.abs(self.equations(got, z, roll)).max() > 1e-10:
            got = least_squares(self.equations, u, self.derivative, method="lm", args=(z, roll), xtol=1e-15, ftol=1e-15, gtol=1e-15).x
        if not np.abs(self.equations(got, z, roll)).max() < 1e-10:
            return None
        got[3:] /= np.sqrt(got[3:] @ got[3:])
        return got

    def along(self, u, z0, roll0, z, roll, steps):
        for k in range(1, steps + 1):
            s = k / steps
            u = self.solve(u, z0 + s * (z - z0), roll0 + s * (roll - roll0))
            if u is None:
                return None
        return u

    def eyes(self, u):
        return u[:3] + self.a @ self.matrix(u[3:]).T

    def wrenches(self, u):
        """Unit forces of the links, and their moments about the axle's origin, as columns."""
        far = self.eyes(u)
        n = far - self.c
        n /= np.sqrt((n * n).sum(1))[:, None]
        return np.vstack([n.T, np.cross(far - u[:3], n).T])

    def margin(self, u):
        """How far the links are from letting go: the smallest singular value of the balance of forces; 0 holds nothing."""
        axis = self.matrix(u[3:])[:, 1]
        full = np.zeros((6, 6))
        full[:, :4] = self.wrenches(u)
        full[3:, :4] /= ARM
        full[2, 4] = 1
        full[3:, 5] = np.cross(axis, [0, 0, 1])
        return np.linalg.svd(full)[1][-1]

    def side_slope(self, u, contact, up=(0, 0, 1), forward=(1, 0, 0)):
        """Lift along up at the contact point that the links make of a unit of traction along forward, the springs left alone."""
        axis = self.matrix(u[3:])[:, 1]
        lever = np.array(contact, float) - u[:3]
        full = np.zeros((6, 6))
        full[:, :4] = self.wrenches(u)
        full[:3, 4], full[3:, 4] = up, np.cross(lever, up)
        full[3:, 5] = np.cross(axis, [0, 0, 1])  # what keeps the roll does not matter here
        right = -np.concatenate([forward, np.cross(lever, forward)])
        return np.linalg.solve(full, right)[4]

    def roll_centre(self, u):
        """Height above the axle's origin of the sideways force that the links take without rolling, the heave left to the springs."""
        full = np.zeros((6, 6))
        full[:, :4] = self.wrenches(u)
        full[2, 4] = 1
        full[3, 5] = -1  # moment of a unit force to the left, h above the origin: (−h, 0, 0)
        return np.linalg.solve(full, [0, -1, 0, 0, 0, 0])[5]

    def rates(self, u, z, roll, extra=lambda u: np.zeros(0)):
        """Velocity of the origin, angular velocity and rate of extra(u), per mm of heave and per rad of roll.

        Central differences of solutions at h and h/2 with Richardson's extrapolation: the error is of order h⁴. With each comes
        how far the two differences are apart, which is what the extrapolation takes out: the error of order h² less a quarter.
        """
        out = []
        for dz, droll in ((0.2, 0.0), (0.0, 0.005)):
            rows = []
            for cut in (1, 2):
                h, k = dz / cut, droll / cut
                a, b = self.solve(u, z - h, roll - k), self.solve(u, z + h, roll + k)
                if a is None or b is None:
                    return None
                turn = Rotation.from_matrix(self.matrix(b[3:]) @ self.matrix(a[3:]).T).as_rotvec()
                rows.append(np.concatenate([b[:3] - a[:3], turn, extra(b) - extra(a)]) / (2 * (h + k)))
            out.append(((4 * rows[1] - rows[0]) / 3, np.abs(rows[1] - rows[0])))
        return out


    def play(self, u, z, roll, slop):
        """How far the axle can go sideways, mm, and steer, rad, when each link is longer or shorter by slop, worst of all ways."""
        out, real, h = np.zeros(2), self.length, 0.01

        def at(length):
            self.length = length
            v = self.solve(u, z, roll)
            r = self.matrix(v[3:])
            return np.array([v[1], np.arctan2(-r[0, 1], r[1, 1])])
        for k in np.eye(4):
            out += np.abs(at(real + h * k) - at(real - h * k)) / (2 * h) * slop
        self.length = real
        return out

    def rest(self, u, z, roll):
        """The instant centre in side view: the point of the axle that stands still while it heaves, x and z."""
        (rate, _), _ = self.rates(u, z, roll)
        w = rate[4]
        return None if abs(w) < 1e-7 else [u[0] + rate[2] / w, u[2] - rate[0] / w]


def on_link(chassis_eye, axle_eye, along, rise):
    """A hole on a link: along it from the chassis eye, and across in the plane of link and chassis z."""
    e = (axle_eye - chassis_eye) / np.linalg.norm(axle_eye - chassis_eye)
    side = np.cross([0, 0, 1], e)
    across = np.cross(e, side)
    return chassis_eye + along * e + rise * across / np.linalg.norm(across)
