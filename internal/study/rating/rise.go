package rating

import "math"

// Rise returns how far the warmest inside of an enclosure lies above the air, K, in a nominal unit that conducts the label's
// current at 25 °C; 0 where that cannot be computed.
func Rise(in Input) float64 {
	in.Outer, in.Inner = outerDraws, innerUnits
	if in.Label == nil || in.lame() || len(in.Design.Enclosures) == 0 || in.complete() != nil {
		return 0
	}
	in.mounted()
	p, err := in.probe(&in.Design)
	if err != nil {
		return 0
	}
	pt, err := p.point(place{air: usualAir, current: most(in.Label)}, conducting)
	if err != nil {
		return 0
	}
	rise := 0.0
	for _, c := range pt.Cases {
		rise = math.Max(rise, c.Inner-usualAir)
	}
	return rise
}
