package circuit

import (
	"math"

	"hindwatt/internal/numeric"
)

// A Solver solves a network over and over in one workspace. It and its network belong to one goroutine.
type Solver struct {
	// Warm begins each solution at the last one. It is quicker along a series of like cases; the
	// last bits of a solution then depend on the one before.
	Warm bool

	net   *Network
	shape int  // of the network when it was laid out
	warm  bool // x holds a solution
	all   bool // every current is an unknown

	size   int // unknowns: nodes but Ground, then arms; counted from 1, as Ground is 0
	lines  []line
	arms   []arm
	pushes []push
	bends  []bend

	x, f, weight []float64   // unknowns; sums at nodes, rests of arms; Σ|G·V|. By place
	linear       []float64   // of the matrix, rows one after another
	rows         [][]float64 // the matrix
	work         []float64   // that rows lie in
	swaps        []int32     // of rows, in the last elimination
	flow         []float64   // currents by branch
	keepX, keepU []float64   // what stepping returns to
	parent       []int32
	iterations   int
	far          int // node of the largest voltage where sums held only beyond mostVolts, else 0
	solution     Solution
}

// line is a resistance of BranchBelow or more, with or without a voltage: i = g·(va − vb − emf).
type line struct {
	a, b   int32
	g, emf float64
}

// arm is a voltage behind less, whose current is the unknown of a place of its own; one that follows holds b at emf above its
// reference instead, as long as a lies higher.
type arm struct {
	a, b, place int32
	emf, ohms   float64
	follows     bool
	ref         int32
	held, was   bool // b is held so; it was in the last elimination
}

// push is a current out of a into b.
type push struct {
	a, b int32
	amps float64
}

// bend is a junction at work.
type bend struct {
	a, b int32
	at   int32 // place of its current, 0 if that is no unknown
	j    *junction
	u    float64 // across the junction, where the line below touches the curve
	i, g float64 // of that line: i + g·(v − u) − …, see touch
	w    float64 // 1/(1 + rs·g)
	gw   float64 // g·w in the last elimination
}

// Compile makes a solver of a network. Later changes of the network are seen by the next Solve. The error is a
// *ValueError or a *NoUniqueError.
func Compile(n *Network) (*Solver, error) {
	s := &Solver{net: n, shape: -1}
	s.solution.solver = s
	return s, s.prepare()
}

// Solve returns the solution for the values that the network has now. The error is a *ValueError, a
// *NoUniqueError, an *OutOfReachError, or a *NotSolvedError.
func (s *Solver) Solve() (*Solution, error) {
	if err := s.prepare(); err != nil {
		s.warm = false
		return nil, err
	}
	s.iterations, s.far = 0, 0
	how, ok := s.search()
	if !ok {
		s.warm = false
		return nil, s.notSolved()
	}
	s.warm = true
	s.solution = Solution{Residual: s.largestSum(), Largest: s.record(), Iterations: s.iterations, How: how, Beyond: s.beyond(), solver: s}
	return &s.solution, nil
}

// search tries the ways one after another, at last with every current as an unknown: then a conductance that is all there
// is to Ground is not lost in sums with large ones.
func (s *Solver) search() (How, bool) {
	if s.Warm && s.warm {
		s.carryOver()
		if s.newton(1, 0, newtonLimit) {
			return Newton, true
		}
	}
	for _, all := range []bool{false, true} {
		s.layOut(all)
		switch {
		case s.fromZero():
			return Newton, true
		case s.raiseSources():
			return SourceStepping, true
		case s.lowerConductances():
			return ConductanceStepping, true
		}
	}
	return ConductanceStepping, false
}

// carryOver moves the points of touch of conducting junctions to where their curves, changed since, carry the same current: in a
// circuit that is fed, a warmer junction has less voltage rather than more current.
func (s *Solver) carryOver() {
	for i := range s.bends {
		b := &s.bends[i]
		if j := b.j; j.is > 0 && j.vf == 0 && j.photo == 0 && b.u > j.va && b.i > 0 && b.i < straightFrom {
			b.u = j.va * numeric.Log(1+b.i/j.is)
		}
	}
}

// fromZero is Newton's method without a start.
func (s *Solver) fromZero() bool {
	s.zero()
	return s.newton(1, 0, newtonLimit)
}

// zero begins from nothing.
func (s *Solver) zero() {
	clear(s.x)
	for i := range s.bends {
		s.bends[i].u = 0
	}
}

const (
	newtonLimit = 60
	stepLimit   = 40 // iterations of one step of stepping
	leastStep   = 1e-6
)

// raiseSources begins without any source, where all is 0, and raises them together.
func (s *Solver) raiseSources() bool {
	s.zero()
	s.keep()
	part, step := 0.0, 0.125
	for part < 1 {
		next := min(1, part+step)
		if s.newton(next, 0, stepLimit) {
			part = next
			step *= 2
			s.keep()
			continue
		}
		s.restore()
		if step /= 4; step < leastStep {
			return false
		}
	}
	return s.newton(1, 0, newtonLimit)
}

// lowerConductances begins with 1 S from each node to Ground and takes it away in steps.
func (s *Solver) lowerConductances() bool {
	s.zero()
	s.keep()
	const last = 1e-15
	g, factor := 1.0, 10.0
	if !s.newton(1, g, newtonLimit) {
		return false
	}
	for g > last {
		s.keep()
		if s.newton(1, g/factor, stepLimit) {
			g /= factor
			factor = min(factor*factor, 100)
			continue
		}
		s.restore()
		if factor = math.Sqrt(factor); factor < 1.001 {
			return false
		}
	}
	return s.newton(1, 0, newtonLimit)
}

// keep remembers where the search is, restore goes back there.
func (s *Solver) keep() {
	s.keepX = append(s.keepX[:0], s.x...)
	s.keepU = s.keepU[:0]
	for i := range s.bends {
		s.keepU = append(s.keepU, s.bends[i].u)
	}
}

func (s *Solver) restore() {
	copy(s.x, s.keepX)
	for i := range s.bends {
		s.bends[i].u = s.keepU[i]
	}
}

// outOfReach returns the node of the largest voltage if that is more than anything stands, else 0.
func (s *Solver) outOfReach() (node int) {
	most := mostVolts * (1 + sumPart)
	for i := 1; i < s.net.Nodes(); i++ {
		if v := math.Abs(s.x[i]); v > most {
			node, most = i, v
		}
	}
	return node
}

// beyond returns the name of a part of which a junction follows a tangent, or "".
func (s *Solver) beyond() string {
	bend := 0
	for i := range s.net.elements {
		e := &s.net.elements[i]
		for _, b := range s.net.branches[e.branch : e.branch+e.count] {
			if b.off || b.way != curved {
				continue
			}
			if c := &s.bends[bend]; c.j.straight(c.u) {
				return e.name
			}
			bend++
		}
	}
	return ""
}

// notSolved names the node at which most is amiss.
func (s *Solver) notSolved() error {
	if node := max(s.far, s.outOfReach()); node != 0 {
		return &OutOfReachError{s.net.names[node]}
	}
	e := &NotSolvedError{Iterations: s.iterations}
	s.sums(1, 0)
	for node := 1; node < s.net.Nodes(); node++ {
		if over := math.Abs(s.f[node]); over > e.Residual && over <= math.MaxFloat64 {
			e.Node, e.Residual = s.net.names[node], over
		}
	}
	return e
}
