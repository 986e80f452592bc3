package circuit

// A Start is where a network settled: from there Newton's method can begin on a network of the same parts with other values.
type Start struct {
	volts  []float64 // of nodes
	across []float64 // of junctions that were not open
	amps   []float64 // through them
}

// Start returns where the last Solve settled.
func (s *Solver) Start() Start {
	t := Start{volts: append([]float64(nil), s.x[:s.net.Nodes()]...)}
	for i := range s.bends {
		t.across, t.amps = append(t.across, s.bends[i].u), append(t.amps, s.bends[i].i)
	}
	return t
}

// From makes the next Solve begin at a start as if the last one had settled there, if Warm asks for that. What it then returns
// depends on the start and the network's values alone. A start of other parts is left aside.
func (s *Solver) From(t Start) {
	s.warm = false
	if s.prepare() != nil || len(t.volts) != s.net.Nodes() || len(t.across) != len(s.bends) {
		return
	}
	clear(s.x)
	copy(s.x, t.volts)
	for i := range s.bends {
		b := &s.bends[i]
		b.u, b.i = t.across[i], t.amps[i]
	}
	s.warm = true
}
