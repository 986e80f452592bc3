package promise

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"hindwatt/internal/product"
	"hindwatt/internal/promise/kept"
)

// BenchmarkSketch is how long the first figure of each study takes after a value was changed that it rests on.
func BenchmarkSketch(b *testing.B) {
	for _, of := range []struct {
		study, file, key, format string
		from, step               float64
	}{
		{"setpoint", "product.toml", "regulation.float", "%.3f V", 26.4, 0.001},
		{"rating", "parts.toml", "part.fuse15.resistance", "%.3f mΩ ±15 %%", 5.2, 0.001},
		{"fault", "parts.toml", "part.sb20.surge_current", "%.2f A", 200, 0.01},
		{"production", "production.toml", "work.hour", "%.2f EUR/h", 24, 0.01},
		{"charge", "installations/cold-post.toml", "panel.soiling", "%.4f %%", 3, 0.0001},
	} {
		b.Run(of.study, func(b *testing.B) {
			store := kept.Open(b.TempDir())
			first := func(folder *product.Folder, until string) {
				p, err := folder.Resolve("")
				if err != nil {
					b.Fatal(err)
				}
				ctx, cancel := context.WithCancel(context.Background())
				defer cancel()
				_, err = Check(ctx, p, Options{Seed: 1, VerdictsOnly: true, Kept: store, Sketch: true, Seen: func(j Judged) {
					if j.Study == until && len(j.Evidence) > 0 {
						cancel()
					}
				}})
				if err != nil && !errors.Is(err, context.Canceled) {
					b.Fatal(err)
				}
			}
			folder := example(b)
			if _, err := product.Read(folder.Dir); err != nil {
				b.Fatal(err)
			}
			first(folder, "")
			n := 0
			for b.Loop() {
				n++
				b.StopTimer()
				folder, err := product.Try(folder.Dir, product.Setting{File: of.file, Key: of.key, Text: fmt.Sprintf(of.format, of.from+of.step*float64(n))})
				if err != nil {
					b.Fatal(err)
				}
				b.StartTimer()
				first(folder, of.study)
			}
		})
	}
}
