package caution

import (
	"testing"

	"hindwatt/internal/product"
)

func TestDemoTry(t *testing.T) {
	f, err := product.Read("../../../demo/osier-24")
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range []string{"", "rev-a"} {
		p, _ := f.Resolve(v)
		for _, c := range Of(p) {
			t.Log(c.Check, c.Safety, c, c.From())
		}
		t.Log("----")
	}
}
