package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"time"

	"gallipot/calc/law/table"
	"gallipot/dossier/bench"
	"gallipot/ingredients/exact"
)

// pages of the workbench that are drawn, with their file.
var pages = []struct{ file, path string }{
	{"workbench.png", "/product/heath-wash/formula?variant=scrub&market=EU&batch=3kg"},
}

var addressRE = regexp.MustCompile(`http://127\.0\.0\.1:\d+`)

// workbench has a browser (Chromium) draw pages of the workbench on a workshop.
func workbench(shop, base, out string) error {
	stop, end := context.WithCancel(context.Background())
	defer end()
	told, tell := io.Pipe()
	served := make(chan error, 1)
	go func() {
		served <- bench.Run(stop, bench.Options{Dir: shop, ReadOnly: true, Base: base, Tell: tell, Now: time.Now,
			Today: func() (exact.Date, bool) { return day, true }, Law: table.Builtin()})
		_ = tell.Close() // nothing is read from it any more
	}()
	line := make([]byte, 200)
	n, err := told.Read(line)
	if err != nil {
		return errors.Join(err, <-served)
	}
	go func() { _, _ = io.Copy(io.Discard, told) }()
	address := addressRE.FindString(string(line[:n]))
	for _, p := range pages {
		to, err := filepath.Abs(filepath.Join(out, p.file))
		if err != nil {
			return err
		}
		c := exec.Command("chromium", "--headless", "--no-sandbox", "--hide-scrollbars",
			"--force-device-scale-factor=1",
			"--window-size=1240,820", "--screenshot="+to, address+p.path)
		c.Stderr = os.Stderr
		if err := c.Run(); err != nil {
			return fmt.Errorf("chromium: %w", err)
		}
		if err := slim(to); err != nil {
			return err
		}
		fmt.Printf("%s: %s\n", filepath.Join(out, p.file), p.path)
	}
	end()
	return <-served
}
