// Package numeric holds the few functions of real numbers on which every
// computed figure rests: exp, log, pow, sin and cos with the same bits on every
// promised platform, seeded streams of random numbers, bracketed roots, order
// statistics, and work shared out over all cores without a change of result.
//
// # Same bits
//
// For amd64 (GOAMD64=v1) and js/wasm every function here gives the same bits
// for the same arguments. No library call with per-platform assembly stands on
// these paths (math.Exp and math.Pow have it), no product is fused with a sum
// (each is written float64(a*b)+c, which the Go specification keeps apart), and
// sums have a fixed order. Of package math only what is exact or pure Go is
// used: Abs, Sqrt, Floor, Frexp, Ldexp, the bit conversions, and, for angles
// beyond 2^19·π/2, Sin and Cos.
//
// The promise extends to the packages that compute with these functions alone:
//
//	numeric
//	physics/sun, physics/panel, physics/battery, physics/circuit, physics/heat
//	study/setpoint, study/charge (their random draws and their chains)
//
// Package statistics draws its random numbers here, but takes quantiles of the
// t, χ² and beta distributions from a library; it, and every other package,
// promises equality to 9 digits.
//
// # Errors of the functions
//
// Exp, Log and Pow are within 1.5 units in the last place (ulp), Sin and Cos within 1; the
// tests hold them to that against values computed with 200 bits.
//
// NaN in gives NaN out; callers keep it from going further.
package numeric

//go:generate go run generate.go
