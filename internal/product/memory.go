package product

import "hindwatt/internal/quantity"

// memory knows what cells of records were found to be, for most of them are written alike. A
// memory of nil knows nothing.
type memory struct {
	columns map[*spec]*recalled
	fresh   []lesson // of the row that is being decoded
}

// recalled are the good cells of one column; a name is no quantity, and recalled as one of 0.
type recalled struct {
	last       lesson
	quantities map[string]quantity.Quantity
}

type lesson struct {
	spec *spec
	text string
	is   quantity.Quantity
}

const mostRecalled = 10_000 // quantities of one column

// recall reports whether a cell of this text was good before, and sets q to what it is.
func (m *memory) recall(s *spec, text string, q *quantity.Quantity) bool {
	if m == nil {
		return false
	}
	c := m.columns[s]
	if c == nil {
		return false
	}
	if c.last.text == text {
		*q = c.last.is
		return true
	}
	known, ok := c.quantities[text]
	if ok {
		*q, c.last = known, lesson{s, text, known}
	}
	return ok
}

// learn takes note of a cell, until the row that it is in turns out to be good or not.
func (m *memory) learn(s *spec, text string, q quantity.Quantity) {
	if m != nil {
		m.fresh = append(m.fresh, lesson{s, text, q})
	}
}

// rowEnds keeps what was learnt in a row, if nothing is wrong with it.
func (m *memory) rowEnds(good bool) {
	for _, l := range m.fresh {
		if !good {
			break
		}
		c := m.columns[l.spec]
		if c == nil {
			c = &recalled{quantities: map[string]quantity.Quantity{}}
			m.columns[l.spec] = c
		}
		if len(c.quantities) < mostRecalled {
			c.quantities[l.text] = l.is
		}
		c.last = l
	}
	m.fresh = m.fresh[:0]
}
