package quantity

import "testing"

var everyday = []string{"27.3 V", "10 kΩ ±1 % ±50 ppm/K", "-10..45 °C", "0.12 V sd 0.02 V", "1.5 K/W", "0.2 W/(m·K)", "52 deg", "34 EUR"}

func BenchmarkParse(b *testing.B) {
	for _, text := range everyday {
		b.Run(text, func(b *testing.B) {
			for b.Loop() {
				if _, err := Parse(text); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkString(b *testing.B) {
	for _, text := range everyday {
		q, _ := Parse(text)
		b.Run(text, func(b *testing.B) {
			for b.Loop() {
				_ = q.String()
			}
		})
	}
}
