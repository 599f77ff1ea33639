package solid

// A Material is what estimates of weight and strength need.
type Material struct {
	Name    string
	Density float64 // kg/m³
	E       float64 // MPa
	Yield   float64 // MPa; ultimate for polymers
}

// Values as printed in common data sheets; steel is stainless 304, brass C36000, PA12 laser-sintered, carbon a quasi-isotropic
// laminate (laminate theory). Spring steel E and density from memory; alloy steel, of which
// gears, shafts and pins are made, as 42CrMo4 quenched and tempered up to 16 mm (ISO 683-2, from memory): surface hardening is left out.
var materials = []Material{
	{"aluminium 6061", 2700, 68900, 276},
	{"aluminium 7075", 2810, 71700, 503},
	{"titanium", 4430, 113800, 880},
	{"steel", 8000, 193000, 190},
	{"spring steel", 7850, 207000, 1200},
	{"alloy steel", 7850, 206000, 900},
	{"brass", 8500, 97000, 310},
	{"POM", 1410, 3100, 64},
	{"PA12", 930, 1650, 48},
	{"PETG", 1270, 2100, 50}, // E and strength from memory
	{"PLA", 1240, 3500, 60},  // E and strength from memory
	{"carbon", 1600, 52400, 0},
}

// MaterialOf finds a material by name.
func MaterialOf(name string) (Material, bool) {
	for _, m := range materials {
		if m.Name == name {
			return m, true
		}
	}
	return Material{}, false
}

// MaterialNames lists the materials known.
func MaterialNames() []string {
	out := make([]string, len(materials))
	for i := range materials {
		out[i] = materials[i].Name
	}
	return out
}
