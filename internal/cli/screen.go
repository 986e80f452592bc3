package cli

import (
	"io"
	"os"

	"golang.org/x/term"

	"hindwatt/internal/figure"
)

const plainWidth = 100

// screen is what the output can show.
type screen struct {
	width int
	style figure.TextStyle
}

// screenOf looks at the output: a terminal gets its own width, colour unless
// NO_COLOR is set, and marks beyond ASCII; anything else gets plain ASCII.
func screenOf(out io.Writer) screen {
	plain := screen{plainWidth, figure.TextStyle{ASCII: true}}
	file, ok := out.(*os.File)
	if !ok || !term.IsTerminal(int(file.Fd())) {
		return plain
	}
	width, _, err := term.GetSize(int(file.Fd()))
	if err != nil || width < 20 {
		width = 80
	}
	dumb := os.Getenv("TERM") == "dumb"
	return screen{min(width, 120), figure.TextStyle{ASCII: dumb, Colour: !dumb && os.Getenv("NO_COLOR") == ""}}
}
