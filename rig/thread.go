package rig

import "strings"

// coarse pitches in mm, ISO 261 (first choice sizes, and M1.4 and M3.5 of the second).
var coarse = map[string]float64{
	"m1": 0.25, "m1.2": 0.25, "m1.4": 0.3, "m1.6": 0.35, "m2": 0.4, "m2.5": 0.45, "m3": 0.5, "m3.5": 0.6, "m4": 0.7, "m5": 0.8, "m6": 1, "m8": 1.25,
}

// Pitch is the pitch of a thread in mm: a metric one, coarse (M3) or with its pitch (M3x0.35), or an inch one by number or
// diameter and threads per inch (4-40, 1/4-20; ASME B1.1).
func Pitch(thread string) (float64, bool) {
	t := plainThread(thread)
	if p, ok := coarse[t]; ok {
		return p, true
	}
	if size, pitch, ok := strings.Cut(t, "x"); ok && strings.HasPrefix(size, "m") {
		if _, ok := decimal(size[1:]); ok {
			p, ok := decimal(pitch)
			return p, ok && p > 0
		}
	}
	if size, count, ok := strings.Cut(t, "-"); ok {
		if n, ok := decimal(count); ok && n > 0 && size != "" && strings.Trim(size, "0123456789/.") == "" {
			return 25.4 / n, true
		}
	}
	return 0, false
}

func plainThread(thread string) string {
	t := strings.ToLower(strings.ReplaceAll(thread, " ", ""))
	t = strings.ReplaceAll(t, "×", "x")
	t = strings.TrimPrefix(t, "#")
	for _, tail := range []string{"unc", "unf"} {
		t = strings.TrimSuffix(t, tail)
	}
	if size, pitch, ok := strings.Cut(t, "x"); ok {
		if p, known := coarse[size]; known {
			if v, ok := decimal(pitch); ok && v == p {
				return size // M3x0.5 is M3
			}
		}
	}
	return t
}

func sameThread(a, b string) bool { return plainThread(a) == plainThread(b) }

// TidyThread writes a metric thread as documents do: "m 2,5 x 0.45" is M2.5. Others stay as they are.
func TidyThread(text string) string {
	t := plainThread(strings.ReplaceAll(text, ",", "."))
	if size, pitch, fine := strings.Cut(strings.TrimPrefix(t, "m"), "x"); strings.HasPrefix(t, "m") && isNumber(size) && (!fine || isNumber(pitch)) {
		return "M" + t[1:]
	}
	return text
}

// ThreadSize is the diameter over a thread in mm: M3 is 3; inch screws by number are 0.060 in and 0.013 in for every number (ASME B1.1).
func ThreadSize(thread string) (float64, bool) {
	t := plainThread(thread)
	if size, ok := strings.CutPrefix(t, "m"); ok {
		size, _, _ = strings.Cut(size, "x")
		d, ok := decimal(size)
		return d, ok && d > 0
	}
	size, _, ok := strings.Cut(t, "-")
	if !ok {
		return 0, false
	}
	if over, under, ok := strings.Cut(size, "/"); ok {
		a, okA := decimal(over)
		b, okB := decimal(under)
		return 25.4 * a / b, okA && okB && a > 0 && b > 0
	}
	n, ok := decimal(size)
	return 25.4 * (0.060 + 0.013*n), ok && n >= 0
}
