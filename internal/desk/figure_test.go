package desk

import (
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"regexp"
	"strings"
	"testing"
)

// made is a folder whose cost can be drawn at once.
const made = `[bom.parts]
what   = "all parts"   # as bought
each   = 1
prices = "1:20 EUR, 10:18 EUR"
[step.all]
what    = "everything"
minutes = "30..35 min"
yield   = "98 %"
[work]
hour     = "24 EUR/h"
week     = "20 h"
batch    = 10
learning = 0.95
price    = "79 EUR"
`

func TestAFigureIsSaved(t *testing.T) {
	s := serve(t, map[string]string{"product.toml": small["product.toml"], "production.toml": made})
	<-s.sight.look("").answer("production").done
	_, body := s.ask(t, "GET", "/production", nil, nil)
	links := regexp.MustCompile(`<a href="(/figure/production/0/(svg|png|pdf)\?variant=)" download>`).FindAllStringSubmatch(body, -1)
	if len(links) != 3 {
		t.Fatalf("%d links at the first figure", len(links))
	}
	for _, l := range links {
		status, file, h := s.fetch(t, "GET", l[1], nil, nil)
		if status != 200 || h.Get("Content-Disposition") != `attachment; filename="production-1.`+l[2]+`"` {
			t.Errorf("%s: %d %s", l[2], status, h.Get("Content-Disposition"))
		}
		switch l[2] {
		case "svg":
			for d := xml.NewDecoder(strings.NewReader(file)); ; {
				if _, err := d.Token(); errors.Is(err, io.EOF) {
					break
				} else if err != nil {
					t.Fatal(err)
				}
			}
		case "png":
			if p, err := png.Decode(strings.NewReader(file)); err != nil || p.Bounds().Dx() != savedWidth*dots {
				t.Error(err)
			}
		case "pdf":
			if !strings.HasPrefix(file, "%PDF") {
				t.Errorf("%.20q", file)
			}
		}
	}
	for _, path := range []string{"/figure/production/99/svg", "/figure/production/-1/svg", "/figure/production/0/exe", "/figure/nothing/0/svg", "/figure/production/x/svg"} {
		if status, _ := s.ask(t, "GET", path, nil, nil); status != 404 {
			t.Errorf("%s: %d", path, status)
		}
	}
}
