package iv

import (
	"strings"
	"testing"

	"hindwatt/internal/figure"
)

func TestPage(t *testing.T) {
	in := swept(1, 0.002, 0.002)
	in.Temperature, in.Irradiance = given(t, "45 °C"), given(t, "800 W/m2 ±3 %")
	r, err := Run(in)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if err := r.Page().Text(&b, 100, figure.TextStyle{}); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"at 1000 W/m² and 25 °C", "series resistance", "short_circuit_current", "the accuracy of a meter is not known"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the page lacks %q:\n%s", want, b.String())
		}
	}
	if strings.Contains(b.String(), "NaN") || strings.Contains(b.String(), "Inf") {
		t.Error(b.String())
	}
}
