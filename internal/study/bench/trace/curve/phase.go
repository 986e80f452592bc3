package curve

import (
	"math"
	"slices"

	"hindwatt/internal/numeric"
	"hindwatt/internal/study/bench/trace"
)

// A piece is a segment with its name.
type piece struct {
	trace.Segment
	first, last int     // rows
	begin, end  float64 // s
	name        string
	held        bool
}

// phases names each segment and joins those that belong together.
func (in *Input) phases(b trace.Blocks, segments []trace.Segment) []Phase {
	pieces := make([]piece, len(segments))
	for i, s := range segments {
		first, last := b.First[s.From], b.First[s.Until]
		pieces[i] = piece{Segment: s, first: first, last: last, begin: in.Time[first], end: in.Time[last-1]}
	}
	in.nights(pieces)
	in.levels(pieces)
	bridge(pieces)
	var out []Phase
	for _, p := range pieces {
		if n := len(out); n == 0 || out[n-1].Name != p.name {
			out = append(out, Phase{Name: p.name, First: p.first, Begin: p.begin})
		}
		last := &out[len(out)-1]
		last.Last, last.End = p.last, p.end
		if p.held {
			last.held = append(last.held, [2]int{p.first, p.last})
		}
	}
	for i := range out {
		v := in.Voltage[out[i].First:out[i].Last]
		out[i].Low, out[i].High = slices.Min(v), slices.Max(v)
	}
	return out
}

// nights names the pieces in which nothing comes from the panel: its voltage is below the battery's, or
// no more than a hundredth of the largest current flows.
func (in *Input) nights(pieces []piece) {
	largest := 0.0
	if c := in.Current; c != nil {
		largest = numeric.Select(slices.Clone(c), len(c)-1-len(c)/100)
	}
	for i := range pieces {
		p := &pieces[i]
		p.name = Bulk
		switch {
		case in.Panel != nil:
			if mean(in.Panel[p.first:p.last]) < mean(in.Voltage[p.first:p.last]) {
				p.name = Night
			}
		case in.Current != nil:
			if mean(in.Current[p.first:p.last]) <= dark*largest {
				p.name = Night
			}
		}
	}
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v / float64(len(x))
	}
	return sum
}

// levels names the pieces at which the voltage is held: flat, where a level is to be, and long enough.
func (in *Input) levels(pieces []piece) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range pieces {
		low, high = min(low, p.Level), max(high, p.Level)
	}
	var held []*piece
	for i := range pieces {
		p := &pieces[i]
		may := flat * p.Level * max(p.end-p.begin, shortFlat) / hour
		_, off := in.nearest(p.Level)
		above := off <= near*p.Level
		if len(in.Targets) == 0 {
			above = p.Level >= low+upper*(high-low)
		}
		if p.name == Bulk && math.Abs(p.End-p.Start) <= may && above {
			held = append(held, p)
		}
	}
	slices.SortStableFunc(held, func(a, b *piece) int { return int(math.Copysign(1, a.Level-b.Level)) })
	var groups [][]*piece
	for i, p := range held {
		if i == 0 || p.Level-held[i-1].Level > apart*p.Level {
			groups = append(groups, nil)
		}
		groups[len(groups)-1] = append(groups[len(groups)-1], p)
	}
	groups = slices.DeleteFunc(groups, func(g []*piece) bool {
		long := 0.0
		for _, p := range g {
			long += p.end - p.begin
		}
		return long < least
	})
	names := in.called(groups)
	for k, g := range groups {
		for _, p := range g {
			p.name, p.held = names[k], true
		}
	}
	if in.Panel == nil && in.Current == nil {
		restless(pieces)
	}
}

// nearest is the target nearest to a level at the log's mean temperature, and how far off it is.
func (in *Input) nearest(level float64) (name string, off float64) {
	shift := 0.0
	if in.Temperature != nil {
		shift = in.Compensation * (mean(in.Temperature) - standard)
	}
	off = math.Inf(1)
	for _, t := range in.Targets {
		if d := math.Abs(level - t.Volts - shift); d < off {
			name, off = t.Name, d
		}
	}
	return name, off
}

// called names groups of held pieces, which rise in level: by the nearest target, each once; or, where
// none is known, the highest absorption and the lowest float.
func (in *Input) called(groups [][]*piece) []string {
	names, off := make([]string, len(groups)), make([]float64, len(groups))
	for k, g := range groups {
		names[k] = Held
		level, long := 0.0, 0.0
		for _, p := range g {
			level += p.Level * (p.end - p.begin)
			long += p.end - p.begin
		}
		var name string
		if name, off[k] = in.nearest(level / long); name != "" {
			if other := slices.Index(names, name); other < 0 || off[other] > off[k] {
				if other >= 0 {
					names[other] = Held + " at " + volts(groups[other][0].Level)
				}
				names[k] = name
				continue
			}
		}
		if len(groups) > 1 {
			names[k] = Held + " at " + volts(level/long)
		}
	}
	if len(in.Targets) == 0 && len(groups) > 1 {
		names[0], names[len(names)-1] = "float", "absorption"
	}
	return names
}

// restless tells nights from bulk by the voltage alone: before the last rise to the first level, and after
// the last level, what falls or rests is night.
func restless(pieces []piece) {
	first := slices.IndexFunc(pieces, func(p piece) bool { return p.held })
	if first < 0 {
		return
	}
	i := first - 1
	for i >= 0 && pieces[i].End > pieces[i].Start && pieces[i].End-pieces[i].Start > flat*pieces[i].Level {
		i--
	}
	for ; i >= 0; i-- {
		pieces[i].name = Night
	}
	for i = len(pieces) - 1; i > first && !pieces[i].held; i-- {
		pieces[i].name = Night
	}
}

// bridge gives what lies shortly between held pieces to their phase: within one level, such as a cloud, and
// the fall from a higher one to a lower one.
func bridge(pieces []piece) {
	for i := 0; i < len(pieces); {
		if !pieces[i].held {
			i++
			continue
		}
		j := i + 1
		for j < len(pieces) && !pieces[j].held && pieces[j].name == Bulk {
			j++
		}
		if j < len(pieces) && pieces[j].held && j > i+1 {
			long := pieces[j].begin - pieces[i].end
			same, falls := pieces[j].name == pieces[i].name, pieces[j].Level < pieces[i].Level
			if same && long <= bridged || !same && falls && long <= hour {
				for k := i + 1; k < j; k++ {
					pieces[k].name = pieces[j].name
				}
			}
		}
		i = j
	}
}
