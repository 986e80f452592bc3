package circuit

// unique finds by the graph alone whether the network has exactly one solution: no loop of branches without resistance,
// and a way for current from each node to Ground. Every branch with a resistance, and every junction and
// load (LeastConductance), lets any current through at some voltage, so nothing else can stand against it.
//
//	parent  workspace, one place a node
func (n *Network) unique(parent []int32) error {
	for i := range parent {
		parent[i] = int32(i)
	}
	for k := range n.branches {
		if b := &n.branches[k]; b.way == linear && !b.off && b.ohms == 0 && !join(parent, int32(b.a), int32(b.b)) {
			return n.conflict(k)
		}
	}
	for k := range n.branches {
		if b := &n.branches[k]; b.way != constant && !b.off {
			join(parent, int32(b.a), int32(b.b))
		}
	}
	ground := root(parent, 0)
	for node := range parent {
		if island := root(parent, int32(node)); island != ground {
			return n.floating(parent, island)
		}
	}
	return nil
}

// root returns what stands for the set of a node.
func root(parent []int32, i int32) int32 {
	for parent[i] != i {
		parent[i] = parent[parent[i]]
		i = parent[i]
	}
	return i
}

// join makes one set of two, or returns false if they are one already.
func join(parent []int32, a, b int32) bool {
	a, b = root(parent, a), root(parent, b)
	parent[max(a, b)] = min(a, b)
	return a != b
}

// floating names an island and the currents driven into it.
func (n *Network) floating(parent []int32, island int32) error {
	e := &NoUniqueError{Consistent: true}
	for node, name := range n.names {
		if root(parent, int32(node)) == island {
			e.Floating = append(e.Floating, name)
		}
	}
	sum, most := 0.0, 0.0
	for i := range n.elements {
		b := &n.branches[n.elements[i].branch]
		from, into := root(parent, int32(b.a)) == island, root(parent, int32(b.b)) == island
		if b.way != constant || b.off || from == into || b.amps == 0 {
			continue
		}
		e.Sources = append(e.Sources, n.elements[i].name)
		amps := b.amps
		if from {
			amps = -amps
		}
		sum += amps
		most = max(most, amps, -amps)
	}
	e.Consistent = sum <= roundOff*most && -sum <= roundOff*most
	return e
}

// roundOff is the relative difference up to which sums of typed values count as equal.
const roundOff = 1e-12

// conflict names the loop that branch k closes among those before it without resistance.
func (n *Network) conflict(k int) error {
	last := &n.branches[k]
	type reach struct {
		branch int // by which the node was reached, -1 at the start
		volts  float64
	}
	reached := map[Node]reach{last.b: {branch: -1}}
	for more := true; more; {
		more = false
		for i := range n.branches[:k] {
			b := &n.branches[i]
			if b.way != linear || b.off || b.ohms != 0 {
				continue
			}
			from, a := reached[b.a]
			to, c := reached[b.b]
			if a && !c {
				reached[b.b], more = reach{i, from.volts - b.emf}, true
			} else if c && !a {
				reached[b.a], more = reach{i, to.volts + b.emf}, true
			}
		}
	}
	loop := map[int]bool{k: true}
	most := max(last.emf, -last.emf)
	for node := last.a; reached[node].branch >= 0; {
		b := &n.branches[reached[node].branch]
		loop[reached[node].branch] = true
		most = max(most, b.emf, -b.emf)
		if b.a == node {
			node = b.b
		} else {
			node = b.a
		}
	}
	e := &NoUniqueError{}
	for _, part := range n.elements {
		for i := range part.count {
			if loop[part.branch+i] {
				e.Sources = append(e.Sources, part.name)
			}
		}
	}
	over := reached[last.a].volts - last.emf
	e.Consistent = over <= roundOff*most && -over <= roundOff*most
	return e
}
