package diagram

import (
	"testing"

	"hindwatt/internal/numeric"
)

func BenchmarkDrawing(b *testing.B) {
	c := read(b, "demo")
	b.Run("demo", func(b *testing.B) {
		for b.Loop() {
			c.Drawing(0)
		}
	})
	s := numeric.NewStream(11, 39)
	any := anyCircuit(&s, 40)
	b.Run("random 40", func(b *testing.B) {
		for b.Loop() {
			any.Drawing(0)
		}
	})
}
