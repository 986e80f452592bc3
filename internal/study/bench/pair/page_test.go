package pair

import (
	"strings"
	"testing"

	"hindwatt/internal/figure"
)

func TestPage(t *testing.T) {
	r, err := Run(turns(1, 4))
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if err := r.Page().Text(&b, 100, figure.TextStyle{}); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"the other was lower than unit 14", "without the meters' errors", "before any correction", "[D3]"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the page lacks %q:\n%s", want, b.String())
		}
	}
	if strings.Contains(b.String(), "NaN") || strings.Contains(b.String(), "Inf") {
		t.Error(b.String())
	}
}
