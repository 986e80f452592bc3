package circuit

// How says what it took to solve.
type How uint8

// The ways, the quickest first.
const (
	Newton              How = iota // Newton's method with limited steps
	SourceStepping                 // all sources raised from 0 in steps
	ConductanceStepping            // conductances to ground lowered in steps, at last to 0
)

func (h How) String() string {
	return [...]string{"newton", "source stepping", "conductance stepping"}[h]
}

// A Solution is what a network settled at. It stands in its Solver's workspace and holds until the next Solve.
type Solution struct {
	Residual   float64 // largest sum of the currents at a node, A
	Largest    float64 // largest current of a branch, A
	Iterations int

	How How

	// Beyond is the part whose junction carries more than 1 MA, "" if none does: it then follows the tangent to its law,
	// and the currents are no answer of the law itself.
	Beyond string

	solver *Solver
}

// Rounding returns by how many volts the rounding of sums may have moved a voltage, at most or nearly so: next to nothing,
// but where a node hangs on a conductance that drowns among large currents it is how well its voltage is known. The network
// must still have the values that were solved.
func (s *Solution) Rounding() float64 { return s.solver.rounding() }

// Voltage returns that of a node against Ground, in V.
func (s *Solution) Voltage(node Node) float64 { return s.solver.x[node] }

// Across returns the voltage of a part, its first terminal against its second, in V.
func (s *Solution) Across(id ID) float64 {
	e := &s.solver.net.elements[id]
	return s.solver.x[e.first] - s.solver.x[e.second]
}

// Current returns the current into the first terminal of a part, in A.
func (s *Solution) Current(id ID) float64 {
	e := &s.solver.net.elements[id]
	sum := 0.0
	for _, i := range s.solver.flow[e.branch : e.branch+e.count] {
		sum += i
	}
	return sum
}

// Bypass returns the current in the second path of a part, in A, of the same sign as Current: the bypass diodes
// of a panel, the channel of a transistor; 0 for other parts.
func (s *Solution) Bypass(id ID) float64 {
	e := &s.solver.net.elements[id]
	if e.count < 2 {
		return 0
	}
	return s.solver.flow[e.branch+1]
}

// Power returns what a part absorbs, in W, negative for one that feeds.
func (s *Solution) Power(id ID) float64 { return s.Across(id) * s.Current(id) }
