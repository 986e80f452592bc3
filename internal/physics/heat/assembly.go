package heat

import (
	"fmt"
)

// A Part makes heat in an enclosure, or by itself in the air.
type Part struct {
	Name              string
	Case              int     // index of its enclosure, or -1 for one in the open air
	JunctionToCase    float64 // K/W; 0 means not known
	JunctionToAmbient float64 // K/W, of its data sheet, on its board in free air; 0 means not known
	Footprint         float64 // m²; 0 means DefaultFootprint
}

// DefaultFootprint is the area by which a power part joins the board, m². Estimate.
const DefaultFootprint = 100e-6

// PottedShare is what solid filling leaves of a resistance from junction to ambient when that from
// junction to case is not known: the way into the filling. Estimate; junction_to_case sets it aside.
const PottedShare = 0.5

// Around is what does not belong to the unit.
type Around struct {
	Altitude   float64 // m
	Irradiance float64 // of the sun on outer enclosures, W/m²
}

// An Assembly is a unit's enclosures and parts as a network. Its values can be changed and solved again
// without a new plan.
type Assembly struct {
	Network
	Junction []Node // of each part
	Board    []Node // of each case
	Inner    []Node // air inside each case; for solid filling the board
	Wall     []Node // inside of the walls
	Surface  []Node // outside of the walls

	cases  []*built
	parts  []partLink
	doubt  Doubt
	around Around
}

// built is one case with what can be changed in it.
type built struct {
	Case
	outer, film, board Surface
	filling, wall      Link
	leads              []Link
	leadBest           []float64 // W/K, before doubt
	mount              float64
}

// partLink is a part's way into the unit.
type partLink struct {
	Part
	link   Link
	spread float64 // K/W, before doubt
}

// Assemble makes the network of a unit's enclosures and parts.
//
//	cases   each Inside another by its index, or -1
//	parts   each in a case or in the open air
//
// In a case filled with air: junction, board, inner air, wall, surface, and what is around. In a solid
// filling: junction, board, wall, surface. Air around a case inside another is that one's inner air. A part of which
// the way from junction to case is known gives its heat to the board through it and the spreading on the board; one of which only that to ambient is
// known gives it to the inner air through that (or, in a solid filling, to the board through PottedShare of it).
// Errors name the case or part, and what is accepted.
func Assemble(cases []Case, parts []Part, around Around) (*Assembly, error) {
	a := &Assembly{}
	for i := range cases {
		if err := a.checkCase(cases, i); err != nil {
			return nil, err
		}
	}
	for i := range cases {
		a.build(cases[i])
	}
	for i := range cases {
		a.enclose(i)
	}
	for _, p := range parts {
		if err := a.addPart(p); err != nil {
			return nil, err
		}
	}
	a.doubt = NoDoubt
	a.SetAround(around)
	a.SetDoubt(NoDoubt)
	return a, nil
}

// checkCase looks at a case and at what holds it.
func (a *Assembly) checkCase(cases []Case, i int) error {
	c := &cases[i]
	if err := c.Check(); err != nil {
		return err
	}
	at := c.Inside
	for range cases {
		if at == -1 {
			return nil
		}
		if at < 0 || at >= len(cases) || at == i {
			break
		}
		if cases[at].Filling != AirFilled {
			return fmt.Errorf("%s: inside %s, which is filled solid; want an enclosure filled with air", c.Name, cases[at].Name)
		}
		at = cases[at].Inside
	}
	return fmt.Errorf("%s: inside itself or an enclosure that is not there; want another enclosure", c.Name)
}

// build adds the nodes and inner ways of one case.
func (a *Assembly) build(c Case) {
	b := &built{Case: c}
	board := a.Add(c.Name + " board")
	inner := board
	if c.Filling == AirFilled {
		inner = a.Add(c.Name + " inside air")
	}
	wall, surface := a.Add(c.Name+" wall"), a.Add(c.Name+" surface")
	b.wall = a.Conduct(wall, surface, c.WallConductance())
	if c.Filling == AirFilled {
		a.airInside(b, board, inner, wall)
	} else {
		b.filling = a.Conduct(board, wall, c.FillingConductance())
	}
	b.outer = c.Body.Surface(c.Emissivity, c.Absorptance, SeaLevel)
	b.mount = b.outer.Mount
	a.Board, a.Inner, a.Wall, a.Surface = append(a.Board, board), append(a.Inner, inner), append(a.Wall, wall), append(a.Surface, surface)
	a.cases = append(a.cases, b)
}

// airInside joins board, air and wall by films on both and by radiation. Where the gap is narrow, conduction
// over it is the least that passes: half of it for each film.
func (a *Assembly) airInside(b *built, board, air, wall Node) {
	l, w := b.Case.board()
	plate := l * w / (2 * (l + w))
	gap := b.gap() / 2
	if b.Position == Upright {
		b.board = Surface{Faces: []Face{{Vertical, l, 2 * l * w}}, Gap: gap}
	} else {
		b.board = Surface{Faces: []Face{{FacingUp, plate, l * w}, {FacingDown, plate, l * w}}, Gap: gap}
	}
	faces, _ := b.Body.Inner(b.Thickness).Faces() // what looks up inside is as large as what looks down
	b.film = Surface{Faces: faces, Gap: gap}
	material, _ := MaterialOf(b.Wall) // checked
	a.Join(board, air, &b.board)
	a.Join(wall, air, &b.film)
	a.Join(board, wall, Radiation{Area: 2 * l * w,
		Factor: Between(BoardEmissivity, max(material.Bare, 0.05), min(1, 2*l*w/b.innerArea()))})
}

// BoardEmissivity is that of a board with solder mask. Common practice.
const BoardEmissivity = 0.9

// enclose joins the outside of a case and its leads to what is around it.
func (a *Assembly) enclose(i int) {
	b, around := a.cases[i], Outside
	if b.Inside >= 0 {
		around = a.Inner[b.Inside]
	}
	a.Join(a.Surface[i], around, &b.outer)
	for range b.Leads {
		b.leads, b.leadBest = append(b.leads, a.Conduct(a.Board[i], around, 0)), append(b.leadBest, 0)
	}
}

// addPart adds a junction and its way.
func (a *Assembly) addPart(p Part) error {
	switch {
	case p.Case >= len(a.cases):
		return fmt.Errorf("%s: in an enclosure that is not there; want one of %d", p.Name, len(a.cases))
	case !(p.JunctionToCase >= 0 && p.JunctionToAmbient >= 0 && p.Footprint >= 0):
		return fmt.Errorf("%s: a thermal resistance or footprint below 0; want more than 0", p.Name)
	case p.JunctionToAmbient == 0 && (p.Case < 0 || p.JunctionToCase == 0):
		return fmt.Errorf("%s: no way for its heat; want junction_to_ambient, or junction_to_case and an enclosure", p.Name)
	}
	if p.Footprint == 0 {
		p.Footprint = DefaultFootprint
	}
	at, to := a.Add(p.Name), Outside
	part := partLink{Part: p}
	if p.Case >= 0 {
		to = a.Board[p.Case]
		if p.JunctionToCase == 0 {
			to = a.Inner[p.Case]
		} else {
			part.spread = a.cases[p.Case].spreading(p.Footprint)
		}
	}
	part.link = a.Conduct(at, to, 0)
	a.Junction, a.parts = append(a.Junction, at), append(a.parts, part)
	return nil
}

// spreading is the resistance from a part's place to the mean of the board, K/W.
func (b *built) spreading(footprint float64) float64 {
	const still = 20 // W/(m²·K), both sides, convection and radiation: estimate; it enters weakly
	h := float64(still)
	if k := b.Case.filling(); k > 0 {
		h = 2 * k / b.gap()
	}
	copper := b.Copper
	if copper == 0 {
		copper = DefaultCopper
	}
	l, w := b.Case.board()
	return SpreadingResistance(SheetConductance(copper), h, footprint, l*w)
}

// DefaultCopper is the thickness of a board's copper, m. Common practice: 1 oz/ft².
const DefaultCopper = 35e-6

// SetAround sets what is around the unit.
func (a *Assembly) SetAround(around Around) {
	a.around = around
	pressure := Pressure(around.Altitude)
	for i, b := range a.cases {
		b.outer.Pressure, b.film.Pressure, b.board.Pressure = pressure, pressure, pressure
		for k, l := range b.Leads {
			b.leadBest[k] = l.Conductance(Reference, pressure)
			a.SetConductance(b.leads[k], a.doubt.Leads*b.leadBest[k])
		}
		a.shine(i)
	}
}

// shine sets the heat of the sun on a case that stands in the open.
func (a *Assembly) shine(i int) {
	if b := a.cases[i]; b.Inside < 0 {
		a.SetHeat(a.Surface[i], a.around.Irradiance*b.outer.Absorbed)
	}
}

// SetDoubt sets the factors of doubt; each > 0.
func (a *Assembly) SetDoubt(d Doubt) {
	a.doubt = d
	for _, b := range a.cases {
		b.outer.Factor, b.film.Factor, b.board.Factor = d.Outer, d.Inner, d.Inner
		b.outer.Mount = b.mount * d.Mount
		if b.Case.Filling != AirFilled {
			a.SetConductance(b.filling, d.Filling*b.FillingConductance())
		}
		for i, l := range b.leads {
			a.SetConductance(l, d.Leads*b.leadBest[i])
		}
	}
	for i := range a.parts {
		a.setPart(i)
	}
}

// SetPart changes the resistances of a part, K/W, where they were known (> 0) when it was assembled.
func (a *Assembly) SetPart(i int, junctionToCase, junctionToAmbient float64) {
	a.parts[i].JunctionToCase, a.parts[i].JunctionToAmbient = junctionToCase, junctionToAmbient
	a.setPart(i)
}

// leastResistance is taken for a part that is drawn at none, K/W: no part has less.
const leastResistance = 1e-3

// setPart writes a part's way, in series: junction to case and spreading on the board [H29].
func (a *Assembly) setPart(i int) {
	p := &a.parts[i]
	r := p.JunctionToAmbient
	switch {
	case p.Case < 0:
	case p.JunctionToCase > 0:
		r = p.JunctionToCase + p.spread/a.doubt.Spread
	case a.cases[p.Case].Case.Filling != AirFilled:
		r *= PottedShare / a.doubt.Filling
	}
	a.SetConductance(p.link, 1/max(r, leastResistance))
}

// Resistance returns the way of a part to its board or its air, K/W.
func (a *Assembly) Resistance(i int) float64 { return 1 / a.fixed[a.parts[i].link].g }

// SetEmissivity changes emissivity and absorptance of a case's outside, 0..1.
func (a *Assembly) SetEmissivity(i int, emissivity, absorptance float64) {
	b := a.cases[i]
	b.outer.Emissivity, b.outer.Absorbed = emissivity, absorptance*b.Projected()
	a.shine(i)
}
