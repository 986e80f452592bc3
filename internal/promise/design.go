package promise

import (
	"hindwatt/internal/bind"
	"hindwatt/internal/study/rating"
)

// design looks at the circuit and the enclosures, whether a promise rests on them or not. What keeps the circuit from working is a
// warning, all else is advice.
func (s *session) design(r *Report) {
	d := bind.Hardware(s.product, s.options.Installation)
	for _, f := range d.Check() {
		if n := rating.FaultNote(f); f.Fatal {
			r.Warnings = append(r.Warnings, n)
		} else {
			s.note(n)
		}
	}
}
