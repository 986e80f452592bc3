package cli

import (
	"fmt"
	"os"
	"os/exec"
	"runtime"

	"hindwatt/internal/desk"
)

type openVerb struct {
	laid
	Port      int  `placeholder:"N" help:"Take this port; default: any that is free."`
	NoBrowser bool `name:"no-browser" help:"Print the address and open nothing."`
}

func (v *openVerb) Run(w *world) error {
	if address, ok := desk.Running(v.In); ok {
		fmt.Fprintf(w.out, "%s\nThe desk of this folder is open already: this address lets one more browser in.\n", address)
		v.show(w, address)
		return nil
	}
	d, err := desk.Listen(desk.Options{Dir: v.In, Variant: v.Variant, Seed: v.Seed, Port: v.Port})
	if err != nil {
		return err
	}
	address := d.Address()
	fmt.Fprintf(w.out, "%s\nThe address lets one browser in, once. Stop with Ctrl-C.\n", address)
	v.show(w, address)
	return d.Serve(w.ctx)
}

// show opens the browser, where there is a screen to open it on.
func (v *openVerb) show(w *world, address string) {
	if v.NoBrowser {
		return
	}
	var c *exec.Cmd
	switch runtime.GOOS {
	case "windows":
		c = exec.Command("rundll32", "url.dll,FileProtocolHandler", address)
	case "darwin":
		c = exec.Command("open", address)
	default:
		if os.Getenv("DISPLAY") == "" && os.Getenv("WAYLAND_DISPLAY") == "" {
			return
		}
		c = exec.Command("xdg-open", address)
	}
	if err := c.Start(); err != nil {
		fmt.Fprintln(w.err, "note: no browser could be opened; open the address yourself")
		return
	}
	go c.Wait()
}
