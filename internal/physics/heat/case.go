package heat

import (
	"fmt"
	"math"
)

// A Filling is what is inside an enclosure around the board.
type Filling int

// The fillings.
const (
	AirFilled Filling = iota
	Potted
	Glued
)

// A Case is an enclosure as its maker describes it.
type Case struct {
	Name                string
	Body                        // outside
	Filling             Filling // around the board
	FillingConductivity float64 // W/(m·K); 0 means the usual of the filling; not for air
	Wall                string  // one of Materials
	Thickness           float64 // of the wall, m
	Emissivity          float64 // of the outside, 0..1
	Absorptance         float64 // of the outside for sun, 0..1
	Board               [2]float64
	Copper              float64 // thickness of the board's copper, m; 0 means 35 µm
	Inside              int     // index of the enclosure that holds this one, or -1
	Leads               []Lead  // that leave the board into the air around
}

// BoardShare is the share of the inner length and width that a board has of which no size is given. Estimate.
const BoardShare = 0.8

// Check returns the first fault of a case by itself.
func (c *Case) Check() error {
	if _, err := MaterialOf(c.Wall); err != nil {
		return fmt.Errorf("%s: %w", c.Name, err)
	}
	dims, least := 3, math.Inf(1)
	if c.Shape == TubeShape {
		dims = 2
	}
	for _, x := range c.Size[:dims] {
		if !(x > 0 && x <= 10) {
			return fmt.Errorf("%s: size of %g mm; want more than 0 and at most 10 m", c.Name, x*1000)
		}
		least = min(least, x)
	}
	switch {
	case !(c.Emissivity >= 0 && c.Emissivity <= 1):
		return fmt.Errorf("%s: emissivity of %g; want 0..1", c.Name, c.Emissivity)
	case !(c.Absorptance >= 0 && c.Absorptance <= 1):
		return fmt.Errorf("%s: absorptance of %g; want 0..1", c.Name, c.Absorptance)
	case !(c.Thickness > 0):
		return fmt.Errorf("%s: wall of %g mm; want more than 0", c.Name, c.Thickness*1000)
	case 2*c.Thickness >= least:
		return fmt.Errorf("%s: two walls of %g mm leave nothing of %g mm inside; want a thinner wall or a larger case", c.Name, c.Thickness*1000, least*1000)
	case !(c.FillingConductivity >= 0 && c.FillingConductivity < 500):
		return fmt.Errorf("%s: filling of %g W/(m·K); want more than 0 and less than 500", c.Name, c.FillingConductivity)
	case !(c.Board[0] >= 0 && c.Board[1] >= 0 && c.Copper >= 0 && c.Copper < 0.01):
		return fmt.Errorf("%s: board or copper below 0, or copper above 10 mm; want a size", c.Name)
	}
	for _, l := range c.Leads {
		if !(l.Area > 0 && l.Length > 0 && l.Diameter >= 0) {
			return fmt.Errorf("%s: a lead of %g mm² and %g m; want more than 0", c.Name, l.Area*1e6, l.Length)
		}
	}
	return nil
}

// board returns the size of the board, m, never larger than the inside.
func (c *Case) board() (length, width float64) {
	inner := c.Inner(c.Thickness).Size
	length, width = c.Board[0], c.Board[1]
	if length == 0 || width == 0 {
		length, width = BoardShare*inner[0], BoardShare*inner[1]
	}
	return min(length, inner[0]), min(width, inner[1])
}

// gap returns the mean distance from board to wall, m: half of what the board leaves of the inner height.
func (c *Case) gap() float64 {
	inner := c.Inner(c.Thickness).Size
	height := inner[2]
	if c.Shape == TubeShape {
		height = inner[1] * math.Pi / 4 // mean height of a circle
	}
	return max((height-LaminateThickness)/2, 0.2e-3)
}

// innerArea returns the inside of the walls, m².
func (c *Case) innerArea() float64 { return c.Inner(c.Thickness).Area() }

func (c *Case) filling() float64 {
	switch {
	case c.Filling == AirFilled:
		return 0
	case c.FillingConductivity > 0:
		return c.FillingConductivity
	case c.Filling == Glued:
		return GlueConductivity
	}
	return PottingConductivity
}

// FillingConductance returns what a solid filling carries from board to wall, W/K: k·S with the shape factor of
// both faces A/d each and, along the rim, that of an edge, 0.54 for each metre [H27]. 0 for air.
//
// Source: Incropera, table 4.1, cases of walls and of edges of adjoining walls.
func (c *Case) FillingConductance() float64 {
	l, w := c.board()
	return c.filling() * (2*l*w/c.gap() + 0.54*2*(l+w))
}

// WallConductance returns k·A/t of the walls, W/K, with the mean of inner and outer area [H28].
func (c *Case) WallConductance() float64 {
	m, err := MaterialOf(c.Wall)
	if err != nil || c.Thickness <= 0 {
		return 0
	}
	return m.Conductivity * math.Sqrt(c.innerArea()*c.Area()) / c.Thickness
}
