package mates

// ClearanceHoles are the diameters of holes for a screw to go through, mm: fine, medium and coarse (ISO 273); false for a thread that is not
// in the table.
func ClearanceHoles(thread string) (fine, medium, coarse float64, ok bool) {
	s, ok := screwSizeOf(thread)
	return s.fine, s.medium, s.coarse, ok
}

// ThreadDiameter is the nominal diameter of a metric thread, mm: 3 for "M3"; 0 when it is no such name.
func ThreadDiameter(thread string) float64 { return threadSize(thread) }

// Engagement is how many diameters of thread a material wants: steel in steel 1, in aluminium 1.5, in plastic 2 (VDI 2230 and handbooks; common
// practice).
func Engagement(material string) float64 { return engagement(material) }
