package heat

// Doubt has how far each model is from its best estimate, as factors on what it carries away; 1 is the best.
type Doubt struct {
	Outer   float64 // free convection outside
	Inner   float64 // convection in the air inside
	Mount   float64 // what an enclosure is mounted on carries away
	Spread  float64 // spreading on the board
	Filling float64 // potting, glue and the contact of what it holds
	Leads   float64 // heat led away by leads
}

// NoDoubt is the best estimate of everything.
var NoDoubt = Doubt{1, 1, 1, 1, 1, 1}

// A DoubtRange is in what range a factor of Doubt may lie, each value as likely as another by its logarithm.
type DoubtRange struct {
	Name      string
	Low, High float64
	Source    string
}

// Doubts lists the ranges in the order of Doubt's fields. They are unknown, not varying: the same for all units.
func Doubts() []DoubtRange {
	return []DoubtRange{
		{"outer-convection", 0.8, 1.25, "correlations of free convection and small bodies: common practice ±20 %"},
		{"inner-convection", 0.7, 1.4, "films in a small closed box: estimate"},
		{"mounting", 0.3, 3, "contact, and size of what it is mounted on: estimate"},
		{"spreading", 0.7, 1.4, "copper coverage and thickness of foil: estimate"},
		{"filling", 0.7, 1.3, "conductivity of the grade, voids: estimate"},
		{"leads", 0.7, 1.4, "how leads are laid: estimate"},
	}
}

// DoubtOf returns a Doubt of factors in the order of Doubts.
func DoubtOf(factors []float64) Doubt {
	d := NoDoubt
	for i, field := range []*float64{&d.Outer, &d.Inner, &d.Mount, &d.Spread, &d.Filling, &d.Leads} {
		if i < len(factors) {
			*field = factors[i]
		}
	}
	return d
}
