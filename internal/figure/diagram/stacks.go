package diagram

// stack is a chain of devices that hangs in one column, from its upper to its lower net.
type stack struct {
	steps   []step
	low     bool // its places are counted from the minus rail
	base    int  // places above it, or, if low, below it
	tail    int  // so many of its last devices stand at the minus rail
	slots   []int
	atTop   bool // it begins at a net of the plus rail
	atFloor bool // it ends at a net of the minus rail
}

// under is how many places are kept below the stack's last device.
func (s *stack) under() int { return s.base * b2i(s.low) }

// level is where a net lies: so many places below the plus rail or above the minus rail.
type level struct {
	known, low bool
	at         int
}

// plan is the circuit taken apart: two rails and the stacks that hang between them.
type plan struct {
	*netlist
	plus, minus []step
	stacks      []stack
	slots       int // places one above the other between the rails
	levels      []level
	used        []bool
	side        map[int]int // net → 0 of the plus, 1 of the minus rail
}

// newPlan finds rails and stacks: first what leads from plus to minus, then what joins nets that have a place, then what leads nowhere, then islands.
func newPlan(n *netlist) *plan {
	p := &plan{netlist: n, levels: make([]level, len(n.names)), used: make([]bool, len(n.devices)), side: map[int]int{}}
	p.plus = n.rail(0, nil)
	p.lay(p.plus, 0)
	avoid := map[int]bool{}
	for net := range p.side {
		avoid[net] = true
	}
	p.minus = n.rail(1, avoid)
	p.lay(p.minus, 1)
	for i, d := range n.devices {
		if d.kind == "panel" && d.outside || d.kind == "battery" && d.outside {
			p.used[i] = true
			p.put(d.first, 0)
			p.put(d.second, 1)
		}
	}
	for p.down() || p.across() || p.dead() || p.island() {
	}
	p.settle()
	return p
}

// lay gives the nets of a rail their level.
func (p *plan) lay(rail []step, side int) {
	for _, s := range rail {
		p.used[s.device] = true
		p.put(s.from, side)
		p.put(s.to, side)
	}
}

func (p *plan) put(net, side int) {
	p.side[net] = side
	p.levels[net] = level{known: true, low: side == 1}
}

// free is the cost of a device to a walk: that of one that has a place already is none.
func (p *plan) free(device int) float64 { return float64(b2i(!p.used[device])) }

// walk goes from a net over free devices and new nets.
func (p *plan) walk(from ...int) reached {
	return search{p.netlist, p.free, func(net int) bool { return !p.levels[net].known }}.from(from...)
}

// down finds the shortest chain from a net at or below the plus rail to the minus rail.
func (p *plan) down() bool {
	var high []int
	for net, l := range p.levels {
		if l.known && !l.low {
			high = append(high, net)
		}
	}
	r := p.walk(high...)
	for _, net := range r.order {
		if side, rail := p.side[net]; rail && side == 1 {
			p.hang(r.path(net))
			return true
		}
	}
	return false
}

// across finds a chain between two nets that have a place, or a device with both ends on one net.
func (p *plan) across() bool {
	for i := range p.devices {
		if d := &p.devices[i]; !p.used[i] && d.first == d.second && p.levels[d.first].known {
			p.hang([]step{{i, d.first, d.first}})
			return true
		}
	}
	for net, l := range p.levels {
		if !l.known {
			continue
		}
		r := p.walk(net)
		for _, to := range r.order {
			if to != net && p.levels[to].known {
				p.hang(r.path(to))
				return true
			}
		}
	}
	return false
}

// dead finds the longest chain that leads from a net with a place to nowhere.
func (p *plan) dead() bool {
	for net, l := range p.levels {
		if !l.known {
			continue
		}
		if r := p.walk(net); len(r.order) > 1 {
			p.hang(r.path(r.order[len(r.order)-1]))
			return true
		}
	}
	return false
}

// island gives the first device that nothing leads to a place of its own, below the plus rail.
func (p *plan) island() bool {
	for i := range p.devices {
		if p.used[i] {
			continue
		}
		p.levels[p.devices[i].first] = level{known: true}
		return true
	}
	return false
}

// hang makes a stack of a chain. A chain whose upper end is at the minus rail and whose lower end is not known stands on the rail, upside down.
func (p *plan) hang(chain []step) {
	from, to := p.levels[chain[0].from], p.levels[chain[len(chain)-1].to]
	if from.low && (!to.known || !to.low || to.at > from.at) {
		chain = reversed(chain)
		from, to = to, from
	}
	s := stack{steps: chain, low: !from.known || from.low, base: from.at}
	if s.low {
		s.base = to.at
	}
	if s.low && !to.known {
		s.base = 0
	}
	for i, st := range chain {
		p.used[st.device] = true
		if p.devices[st.device].kind == "load" && to.known && to.low && !s.low {
			s.tail = len(chain) - 1 - i
		}
	}
	for i, st := range chain[:len(chain)-1] {
		if s.low || s.tail > 0 && i >= len(chain)-1-s.tail {
			p.note(st.to, level{true, true, s.under() + len(chain) - 1 - i})
		} else {
			p.note(st.to, level{true, false, s.base + i + 1})
		}
	}
	n := len(chain)
	p.note(chain[0].from, level{true, true, s.base + n})
	p.note(chain[n-1].to, level{true, s.low, s.base + n})
	if side, rail := p.side[chain[0].from]; rail && side == 0 {
		s.atTop = true
	}
	if side, rail := p.side[chain[n-1].to]; rail && side == 1 {
		s.atFloor = true
	}
	p.stacks = append(p.stacks, s)
}

// note gives a net a level unless it has one.
func (p *plan) note(net int, l level) {
	if !p.levels[net].known {
		p.levels[net] = l
	}
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

func reversed(chain []step) []step {
	var out []step
	for i := len(chain) - 1; i >= 0; i-- {
		out = append(out, step{chain[i].device, chain[i].to, chain[i].from})
	}
	return out
}

// settle turns levels into places, counted from 1 below the plus rail.
func (p *plan) settle() {
	p.slots = 1
	for _, s := range p.stacks {
		p.slots = max(p.slots, s.base+len(s.steps))
	}
	for i := range p.stacks {
		s := &p.stacks[i]
		for k := range s.steps {
			left := len(s.steps) - 1 - k // devices below this one
			if s.low || left < s.tail {
				s.slots = append(s.slots, p.slots-left-s.under())
			} else {
				s.slots = append(s.slots, s.base+k+1)
			}
		}
	}
}
