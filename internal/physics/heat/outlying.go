package heat

import "math"

// An Outlying is a face whose film was computed by a correlation outside the Rayleigh numbers for which it was found.
type Outlying struct {
	Case     string      // enclosure
	Surface  string      // "outside", "inside of its walls", "board"
	Face     Orientation // as the air takes it: a cold plate behaves as a hot one turned over
	Rayleigh float64
	From, To float64 // for which the correlation was found
	Share    float64 // of the heat that this surface gives off, what passes as convection at this face
}

// Means says what follows from it for the temperatures.
func (o Outlying) Means() string {
	switch {
	case o.Rayleigh > o.To:
		return "the air there moves faster than in any measurement behind the correlation"
	case o.Face == FacingUp || o.Face == FacingDown:
		return "a face so small also loses heat by conduction at its edges, which the correlation leaves out: it is somewhat cooler than computed"
	}
	return "the air there hardly moves, and the correlation tends to conduction"
}

// leastShare is what a face must carry of its surface's heat to be told: below, it decides nothing.
const leastShare = 0.01

// Outlying lists the faces of all enclosures that stand outside the range of their correlation after Solve, those left out
// that carry less than 1 % of their surface's heat, and those before a gap so narrow that conduction over it
// counts and not the correlation.
func (a *Assembly) Outlying() (out []Outlying) {
	for i, b := range a.cases {
		around := Outside
		if b.Inside >= 0 {
			around = a.Inner[b.Inside]
		}
		air := a.Temperature(a.Inner[i])
		out = b.outer.outlying(out, Outlying{Case: b.Name, Surface: "outside"}, a.Temperature(a.Surface[i]), a.Temperature(around))
		if b.Case.Filling == AirFilled {
			out = b.film.outlying(out, Outlying{Case: b.Name, Surface: "inside of its walls"}, a.Temperature(a.Wall[i]), air)
			out = b.board.outlying(out, Outlying{Case: b.Name, Surface: "board"}, a.Temperature(a.Board[i]), air)
		}
	}
	return out
}

// outlying adds the faces of one surface, named as of says.
func (s *Surface) outlying(out []Outlying, of Outlying, ts, ta float64) []Outlying {
	air := AirAt((ts+ta)/2, s.pressure())
	all := math.Abs(s.Flow(ts, ta).Total())
	for _, f := range s.Faces {
		film := Convect(f.Orientation, f.Length, ts, ta, air)
		passes := s.factor() * film.Coefficient * f.Area * math.Abs(ts-ta)
		if film.Inside || film.Coefficient < s.least(air) || passes < leastShare*all || all == 0 {
			continue
		}
		of.Face, of.Rayleigh, of.Share = turned(f.Orientation, ts < ta), film.Rayleigh, passes/all
		of.From, of.To = validRayleigh(of.Face)
		out = append(out, of)
	}
	return out
}
