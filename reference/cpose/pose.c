/* Poses of an axle on four links, and how long they take: a plain twin in C of the pose kernel in travel/, to measure it by.
 *
 * Written from the formula alone. |p + R a - c| = L for each link, with p = (x, y, z) and R = Rz(steer) Rx(roll) Ry(spin); z and roll
 * are given, Newton on (x, y, steer, spin) from the pose before, with the analytic Jacobian
 *
 *     f = (|d|^2 - L^2) / 2,  d = p + R a - c:   f_x = d.x,  f_y = d.y,  f_steer = d . (z^ x R a),  f_spin = d . (R y^ x R a)
 *
 * and Gaussian elimination with pivots. It stops as travel does: after a step below 2e-5 mm, an angle counting 100 mm; a step above
 * 60 mm is cut; at most 40 steps.
 *
 * In:  the chassis eyes, the axle eyes (12 numbers each), 4 lengths; x y steer spin to start from; the number of poses of the sweep, and
 *      z and roll of each; mm and rad. Then commands: "poses" prints a sweep from the start, x y steer spin and the Newton steps, one line
 *      each; "time N" prints the ns that N sweeps from there take, and the sum of all steps.
 */
#define _GNU_SOURCE
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

struct linkage {
	double c[4][3], a[4][3], half[4]; /* eyes; L^2/2 */
};

struct pose {
	double x, y, steer, spin;
	double roll, sr, cr; /* the roll given last, with its sine and cosine */
};

/* Gaussian elimination with partial pivoting: m is four rows of four coefficients and the right side. 0 when m is singular. */
static int eliminate(double m[4][5], double q[4])
{
	for (int k = 0; k < 4; k++) {
		int best = k;
		for (int i = k + 1; i < 4; i++)
			if (fabs(m[i][k]) > fabs(m[best][k]))
				best = i;
		if (!(fabs(m[best][k]) > 1e-100))
			return 0;
		if (best != k)
			for (int j = k; j < 5; j++) {
				double t = m[k][j];
				m[k][j] = m[best][j];
				m[best][j] = t;
			}
		double pivot = 1 / m[k][k];
		for (int i = k + 1; i < 4; i++) {
			double factor = m[i][k] * pivot;
			for (int j = k + 1; j < 5; j++)
				m[i][j] -= factor * m[k][j];
		}
	}
	for (int k = 3; k >= 0; k--) {
		double sum = m[k][4];
		for (int j = k + 1; j < 4; j++)
			sum -= m[k][j] * q[j];
		q[k] = sum / m[k][k];
	}
	return 1;
}

/* The number of Newton steps, or 0 when there is no pose. */
static int solve(const struct linkage *l, struct pose *p, double z, double roll)
{
	if (roll != p->roll) {
		p->roll = roll;
		sincos(roll, &p->sr, &p->cr);
	}
	double sr = p->sr, cr = p->cr;
	for (int n = 1; n <= 40; n++) {
		double ss, cs, st, ct, m[4][5], q[4];
		sincos(p->steer, &ss, &cs);
		sincos(p->spin, &st, &ct);
		double r00 = cs * ct - ss * sr * st, r01 = -ss * cr, r02 = cs * st + ss * sr * ct;
		double r10 = ss * ct + cs * sr * st, r11 = cs * cr, r12 = ss * st - cs * sr * ct;
		double r20 = -cr * st, r21 = sr, r22 = cr * ct;
		for (int i = 0; i < 4; i++) {
			const double *a = l->a[i], *c = l->c[i];
			double ex = r00 * a[0] + r01 * a[1] + r02 * a[2];
			double ey = r10 * a[0] + r11 * a[1] + r12 * a[2];
			double ez = r20 * a[0] + r21 * a[1] + r22 * a[2];
			double dx = p->x + ex - c[0], dy = p->y + ey - c[1], dz = z + ez - c[2];
			m[i][0] = dx;
			m[i][1] = dy;
			m[i][2] = dy * ex - dx * ey;
			m[i][3] = dx * (r11 * ez - r21 * ey) + dy * (r21 * ex - r01 * ez) + dz * (r01 * ey - r11 * ex);
			m[i][4] = l->half[i] - 0.5 * (dx * dx + dy * dy + dz * dz);
		}
		if (!eliminate(m, q))
			return 0;
		double step = fmax(fmax(fabs(q[0]), fabs(q[1])), 100 * fmax(fabs(q[2]), fabs(q[3])));
		if (!(step < INFINITY))
			return 0;
		double cut = step > 60 ? 60 / step : 1;
		p->x += cut * q[0];
		p->y += cut * q[1];
		p->steer += cut * q[2];
		p->spin += cut * q[3];
		if (step < 2e-5)
			return n;
	}
	return 0;
}

static double number(void)
{
	double v;
	if (scanf("%lf", &v) != 1) {
		fprintf(stderr, "pose: found no number, expected one\n");
		exit(2);
	}
	return v;
}

static double now(void)
{
	struct timespec t;
	clock_gettime(CLOCK_MONOTONIC, &t);
	return t.tv_sec * 1e9 + t.tv_nsec;
}

int main(void)
{
	struct linkage l;
	struct pose start = {.cr = 1};
	for (int i = 0; i < 12; i++)
		l.c[i / 3][i % 3] = number();
	for (int i = 0; i < 12; i++)
		l.a[i / 3][i % 3] = number();
	for (int i = 0; i < 4; i++) {
		double length = number();
		l.half[i] = length * length / 2;
	}
	start.x = number(), start.y = number(), start.steer = number(), start.spin = number();
	int count = (int)number();
	double(*sweep)[2] = malloc(sizeof(double[2]) * count);
	for (int i = 0; i < count; i++)
		sweep[i][0] = number(), sweep[i][1] = number();
	char command[16];
	while (scanf("%15s", command) == 1) {
		struct pose p = start;
		if (strcmp(command, "poses") == 0) {
			for (int i = 0; i < count; i++) {
				int n = solve(&l, &p, sweep[i][0], sweep[i][1]);
				printf("%.17g %.17g %.17g %.17g %d\n", p.x, p.y, p.steer, p.spin, n);
			}
		} else if (strcmp(command, "time") == 0) {
			int times = (int)number();
			long steps = 0;
			double begin = now();
			for (int k = 0; k < times; k++)
				for (int i = 0; i < count; i++)
					steps += solve(&l, &p, sweep[i][0], sweep[i][1]);
			printf("%.0f %ld\n", now() - begin, steps);
		} else {
			fprintf(stderr, "pose: found the command %s, expected poses or time\n", command);
			return 2;
		}
		fflush(stdout);
	}
	free(sweep);
	return 0;
}
