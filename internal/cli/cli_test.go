package cli

import (
	"bytes"
	"fmt"
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"hindwatt/demo"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"example": func() { // writes the example's folder and computes nothing
			if err := demo.Write(os.Args[1]); err != nil {
				fmt.Fprintln(os.Stderr, err)
				os.Exit(1)
			}
		},
		"tear": func() { // leaves three and a half lines behind the first, as a kill does
			data, err := os.ReadFile(os.Args[1])
			lines := bytes.SplitAfter(data, []byte("\n"))
			if err == nil {
				err = os.WriteFile(os.Args[1], append(bytes.Join(lines[:4], nil), lines[4][:len(lines[4])/2]...), 0o644)
			}
			if err != nil {
				fmt.Fprintln(os.Stderr, err)
				os.Exit(1)
			}
		},
		"hindwatt": func() { os.Exit(Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
	})
}

// TestScripts runs each file of testdata: commands, what they read and what they print.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{Dir: "testdata"})
}
