package heat

// structure is the plan of an elimination: in which order nodes go, and which products each brings.
// The matrix is symmetric, so L·D·Lᵀ; without exchange of rows, since a matrix of a stable state is an M-matrix,
// whose pivots are all above 0.
type structure struct {
	order  []int     // nodes 1..n-1 in order of elimination
	begin  []int     // of each column's entries in row and value
	row    []int     // the later places in order
	value  []float64 // the matrix below the diagonal, then L
	diag   []float64
	fill   []int   // for each pair of entries of a column: which entry it goes into, or -1-place for a diagonal
	slot   [][]int // slot[i][j]: entry of the pair of places i < j
	place  []int   // of each node in order
	fixed  []int   // entry of each fixed link, -1 if one end is Outside
	joined []int
}

// plan lays out the elimination for the ways that the network has.
func (n *Network) plan() {
	size := len(n.names)
	s := &n.shape
	*s = structure{place: make([]int, size)}
	s.number(s.eliminate(n.neighbours()))
	s.fixed, s.joined = make([]int, len(n.fixed)), make([]int, len(n.joined))
	for i, l := range n.fixed {
		s.fixed[i] = s.entry(l.a, l.b)
	}
	for i, j := range n.joined {
		s.joined[i] = s.entry(j.a, j.b)
	}
	n.rise, n.saved = make([]float64, size), make([]float64, size)
	n.residue = make([]float64, size-1)
	n.shaped = true
}

// neighbours says which nodes are joined.
func (n *Network) neighbours() [][]bool {
	near := make([][]bool, len(n.names))
	for i := range near {
		near[i] = make([]bool, len(n.names))
	}
	each := func(a, b Node) {
		if a != b {
			near[a][b], near[b][a] = true, true
		}
	}
	for _, l := range n.fixed {
		each(l.a, l.b)
	}
	for _, j := range n.joined {
		each(j.a, j.b)
	}
	return near
}

// eliminate takes nodes of fewest neighbours first; it returns, for each place in the order, the nodes that are left around.
func (s *structure) eliminate(near [][]bool) (later [][]int) {
	gone := make([]bool, len(near))
	for range len(near) - 1 {
		best, fewest := 0, len(near)+1
		for i := 1; i < len(near); i++ {
			if d := degree(near[i], gone); !gone[i] && d < fewest {
				best, fewest = i, d
			}
		}
		gone[best] = true
		var around []int
		for j := 1; j < len(near); j++ {
			if near[best][j] && !gone[j] {
				around = append(around, j)
			}
		}
		for _, a := range around {
			for _, b := range around {
				near[a][b] = a != b
			}
		}
		s.place[best] = len(s.order)
		s.order, later = append(s.order, best), append(later, around)
	}
	return later
}

func degree(near []bool, gone []bool) int {
	d := 0
	for j := 1; j < len(near); j++ {
		if near[j] && !gone[j] {
			d++
		}
	}
	return d
}

// number lays out the columns and what each elimination adds to.
func (s *structure) number(later [][]int) {
	size := len(s.order)
	s.slot = make([][]int, size)
	for i := range s.slot {
		s.slot[i] = make([]int, size)
		for j := range s.slot[i] {
			s.slot[i][j] = -1
		}
	}
	for i, around := range later {
		s.begin = append(s.begin, len(s.row))
		for _, j := range around {
			s.slot[i][s.place[j]] = len(s.row)
			s.row = append(s.row, s.place[j])
		}
	}
	s.begin = append(s.begin, len(s.row))
	s.value, s.diag = make([]float64, len(s.row)), make([]float64, size)
	for i := range size {
		for p := s.begin[i]; p < s.begin[i+1]; p++ {
			for q := s.begin[i]; q < p; q++ {
				s.fill = append(s.fill, s.between(s.row[p], s.row[q]))
			}
		}
	}
}

func (s *structure) between(i, j int) int { return s.slot[min(i, j)][max(i, j)] }

func (s *structure) entry(a, b Node) int {
	if a == Outside || b == Outside || a == b {
		return -1
	}
	return s.between(s.place[a], s.place[b])
}

func (s *structure) clear() {
	clear(s.value)
	clear(s.diag)
}

// factor makes L·D·Lᵀ of the matrix in place; false if a pivot is not above 0 (or not a number): no M-matrix.
func (s *structure) factor() bool {
	fill := 0
	for i := range s.diag {
		d := s.diag[i]
		if !(d > 0) {
			return false
		}
		from, to := s.begin[i], s.begin[i+1]
		for p := from; p < to; p++ {
			l := s.value[p] / d
			s.diag[s.row[p]] -= l * s.value[p]
			for q := from; q < p; q++ {
				s.value[s.fill[fill]] -= l * s.value[q]
				fill++
			}
		}
		for p := from; p < to; p++ {
			s.value[p] /= d
		}
	}
	return true
}

// solve replaces x, in order of places, by the solution.
func (s *structure) solve(x []float64) {
	for i := range x {
		for p := s.begin[i]; p < s.begin[i+1]; p++ {
			x[s.row[p]] -= s.value[p] * x[i]
		}
	}
	for i := len(x) - 1; i >= 0; i-- {
		x[i] /= s.diag[i]
		for p := s.begin[i]; p < s.begin[i+1]; p++ {
			x[i] -= s.value[p] * x[s.row[p]]
		}
	}
}
