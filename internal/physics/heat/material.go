package heat

import (
	"fmt"
	"strings"
)

// A Material is one of which walls are made.
type Material struct {
	Name         string
	Conductivity float64 // W/(m·K), near 300 K
	Bare         float64 // emissivity as it comes
}

// Materials are those that a wall can be of. Conductivities: Incropera, app. A.1 to A.3, and VDI Heat Atlas, part D6,
// from memory, for usual grades (aluminium: wrought alloys for cases; steel: mild); emissivities: Incropera, app. A.11.
var Materials = []Material{
	{"aluminium", 160, 0.1},
	{"steel", 50, 0.3},
	{"abs", 0.18, 0.9},
	{"polycarbonate", 0.20, 0.9},
	{"polyamide", 0.25, 0.9},
	{"pvc", 0.17, 0.9},
	{"polyolefin", 0.30, 0.9},
	{"epoxy", 0.25, 0.9},
}

// MaterialOf returns a material by its name; the error lists those that there are.
func MaterialOf(name string) (Material, error) {
	names := make([]string, len(Materials))
	for i, m := range Materials {
		if m.Name == name {
			return m, nil
		}
		names[i] = m.Name
	}
	return Material{}, fmt.Errorf("%q is no known wall material; want %s", name, strings.Join(names, ", "))
}

// Conductivities of what is not a wall, W/(m·K).
const (
	CopperConductivity   = 390.0 // foil and wire (Incropera, app. A.1: 401 for pure copper)
	LaminateConductivity = 0.3   // epoxy glass, common practice
	PottingConductivity  = 0.25  // unfilled epoxy or polyurethane, common practice; filled 0.6..1
	GlueConductivity     = 0.2   // hot melt, estimate
)

// LaminateThickness is that of a usual board, m.
const LaminateThickness = 1.6e-3
