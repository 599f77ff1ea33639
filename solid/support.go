package solid

// Support is the hull's point that lies furthest along d, a unit vector, in the frame the hull is placed in.
func (h *Hull) Support(d Vec) Vec { return h.far(d).Along(d, h.Round) }
