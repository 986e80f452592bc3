package panel

import (
	"fmt"
	"math"

	"hindwatt/internal/numeric"
)

// Group is cells in series with the same light.
type Group struct {
	Cells int     // ≥ 1
	Light float64 // part of the irradiance that reaches them, 0..1
}

// Section is groups in series with at most one bypass diode across them.
type Section struct {
	Groups []Group
	Bypass float64 // drop of the diode, V: about 0.5 (Schottky) or 0.8; 0: no diode
}

// Shaded is a panel whose cells do not all get the same light.
type Shaded struct {
	Cell      Panel // one cell: see Panel.Cell
	Sections  []Section
	Breakdown float64 // of a cell in reverse, V; 0: 15, of 8 to 25 V (estimate)
}

const (
	usualBreakdown   = 15.0  // V
	bypassResistance = 0.02  // Ω of the diode beyond its drop (estimate): keeps the current finite
	brokenResistance = 0.1   // Ω of a cell beyond its breakdown (estimate)
	mostShadedAmps   = 1e6   // A: where the search for a current ends
	shadedTolerance  = 1e-12 // A
)

// Cell returns the panel's cell: what in series so often as it has cells is the panel.
func (p *Panel) Cell() Panel {
	one := *p
	n := float64(p.Cells)
	c := &one.Reference
	c.Thermal, c.Series, c.Shunt = c.Thermal/n, c.Series/n, c.Shunt/n
	c.Recombination, c.BuiltIn = c.Recombination/n, c.BuiltIn/n
	one.Cells, one.DarkShunt = 1, p.DarkShunt/n
	return one
}

// Check returns what is wrong with the shading, or nil.
func (s *Shaded) Check() error {
	if len(s.Sections) == 0 {
		return fmt.Errorf("sections: none; want one or more")
	}
	if err := s.Cell.Check(); err != nil {
		return err
	}
	if !(s.Breakdown >= 0 && s.Breakdown <= 1e4) {
		return fmt.Errorf("breakdown: %g V is not possible; want 0 or more", s.Breakdown)
	}
	for i, section := range s.Sections {
		if len(section.Groups) == 0 || !(section.Bypass >= 0 && section.Bypass <= 10) {
			return fmt.Errorf("section %d: no cells, or a bypass of %g V; want one group or more and 0 to 10 V", i+1, section.Bypass)
		}
		for _, g := range section.Groups {
			if g.Cells < 1 || !(g.Light >= 0 && g.Light <= 1) {
				return fmt.Errorf("section %d: %d cells with %g of the light; want 1 or more and 0 to 1", i+1, g.Cells, g.Light)
			}
		}
	}
	return nil
}

// ShadedCurve is a shaded panel at one irradiance and temperature.
type ShadedCurve struct {
	sections  []Section
	curves    [][]Curve // of one cell of each group
	breakdown float64
}

// At returns the curve of the shaded panel; shaded cells are taken as warm as the others.
//
//	irradiance   of the cells in full light, W/m²
//	temperature  K
//
// The error is that of Check.
func (s *Shaded) At(irradiance, temperature float64) (*ShadedCurve, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	c := &ShadedCurve{sections: s.Sections, breakdown: s.Breakdown}
	if c.breakdown == 0 {
		c.breakdown = usualBreakdown
	}
	for _, section := range s.Sections {
		var curves []Curve
		for _, g := range section.Groups {
			curves = append(curves, s.Cell.At(irradiance*g.Light, temperature))
		}
		c.curves = append(c.curves, curves)
	}
	return c, nil
}

// Voltage returns the voltage across the panel at a current, V: that of all sections at the
// same current. It falls with the current.
func (c *ShadedCurve) Voltage(i float64) float64 {
	var sum float64
	for k, section := range c.sections {
		var v float64
		for j, g := range section.Groups {
			each, _ := c.curves[k][j].Voltage(i)
			each = max(each, -c.breakdown-float64(brokenResistance*max(0, i)))
			v += float64(float64(g.Cells) * each)
		}
		if section.Bypass > 0 {
			v = max(v, -section.Bypass-float64(bypassResistance*max(0, i))) // [Y15]
		}
		sum += v
	}
	return limit(sum)
}

// Current returns the current of the shaded panel at a voltage, A.
func (c *ShadedCurve) Current(v float64) float64 {
	f := func(i float64) float64 { return v - c.Voltage(i) } // rises with i
	low, high := -1.0, 1.0
	for f(low) > 0 && low > -mostShadedAmps {
		low *= 4
	}
	for f(high) < 0 && high < mostShadedAmps {
		high *= 4
	}
	i, err := numeric.FindRoot(f, low, high, shadedTolerance)
	if err != nil { // beyond what is searched
		return math.Copysign(mostShadedAmps, -v)
	}
	return i
}

// OpenCircuit returns the voltage with nothing on the leads, V.
func (c *ShadedCurve) OpenCircuit() float64 { return max(0, c.Voltage(0)) }
