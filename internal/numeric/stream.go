package numeric

import "math/bits"

// A Stream is a sequence of random numbers that its seed and path fix for good, on
// every platform. It is a value: a copy gives the same numbers again. It is not
// for use by two goroutines at once; give each its own path instead.
//
// Generator: xoshiro256++ 1.0 (Blackman and Vigna, "Scrambled linear pseudorandom number
// generators", ACM Trans. Math. Softw. 47, 2021). Not for secrets.
type Stream struct{ a, b, c, d uint64 }

// NewStream returns the stream of a seed and a path. Streams of different paths are
// independent for any practical purpose, so that a job of many parts gives each part
// a path (study, block, …) and no part's draws depend on who computes it.
//
// Without a path the state is filled from the seed by splitmix64, as the generator's
// authors advise. Each element of a path is mixed in by one more step of splitmix64, so that order
// and length of the path count.
func NewStream(seed uint64, path ...uint64) Stream {
	for _, p := range path {
		seed = splitmix(&seed) ^ p
	}
	return Stream{splitmix(&seed), splitmix(&seed), splitmix(&seed), splitmix(&seed)}
}

// splitmix is one step of splitmix64 (Steele, Lea and Flood 2014).
func splitmix(state *uint64) uint64 {
	*state += 0x9e3779b97f4a7c15
	z := *state
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// Uint64 returns the next 64 random bits.
func (s *Stream) Uint64() uint64 {
	r := bits.RotateLeft64(s.a+s.d, 23) + s.a
	t := s.b << 17
	s.c ^= s.a
	s.d ^= s.b
	s.b ^= s.c
	s.a ^= s.d
	s.c ^= t
	s.d = bits.RotateLeft64(s.d, 45)
	return r
}

// unit makes of 64 random bits one of the 2^53 multiples of 2^-53 in [0, 1).
func unit(u uint64) float64 { return float64(int64(u>>11)) * 0x1p-53 }

// Float64 returns a number of the uniform distribution over [0, 1).
func (s *Stream) Float64() float64 { return unit(s.Uint64()) }

// Uniform returns a number of the uniform distribution between lo and hi, lo ≤ hi. Rounding
// may give hi itself.
func (s *Stream) Uniform(lo, hi float64) float64 {
	return lo + float64((hi-lo)*unit(s.Uint64()))
}

// FillUniform sets each element of dst as Uniform does, in order, and faster.
func (s *Stream) FillUniform(dst []float64, lo, hi float64) {
	t, width := *s, hi-lo
	for i := range dst {
		dst[i] = lo + float64(width*unit(t.Uint64()))
	}
	*s = t
}

// Intn returns a whole number of the uniform distribution over 0..n-1, n ≥ 1
// (Lemire 2019, without bias).
func (s *Stream) Intn(n int) int {
	hi, lo := bits.Mul64(s.Uint64(), uint64(n))
	for lo < uint64(n) && lo < -uint64(n)%uint64(n) {
		hi, lo = bits.Mul64(s.Uint64(), uint64(n))
	}
	return int(hi)
}

// Shuffle puts x into random order (Fisher and Yates).
func Shuffle[T any](s *Stream, x []T) {
	for i := len(x) - 1; i > 0; i-- {
		j := s.Intn(i + 1)
		x[i], x[j] = x[j], x[i]
	}
}
