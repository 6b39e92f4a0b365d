package bench

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"time"

	"gallipot/calc/law/table"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/bench/gate"
	"gallipot/dossier/edit/history"
	"gallipot/dossier/store"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/watched"
	"gallipot/ingredients/exact"
)

// Options say how the workbench starts.
type Options struct {
	// Dir is the workshop's folder; empty: the one used last, or the first page.
	Dir string
	// Port is the port of this computer; where it is taken another one is used.
	Port int
	// ReadOnly shows the pages to every browser of this computer and changes nothing.
	ReadOnly bool
	// ShareScale is an address of this computer in the local network at which the batch pages
	// alone answer other devices, under a code; empty: none.
	ShareScale string
	// Base is the program's folder for user data.
	Base string
	// Browse opens an address in a browser; nil: not.
	Browse func(address string) error
	// Tell is told the address, once it answers.
	Tell io.Writer
	Now  func() time.Time
	// Today is the day whose law counts, and whether it was chosen.
	Today func() (exact.Date, bool)
	Law   *table.Tables
	// Demo and Begin are the demo workshop and the files of a new one.
	Demo, Begin fs.FS
}

// Run answers until stop is done. Where the workbench already runs for the folder, it only
// opens a browser there.
//
// Errors: those of the port and of the folder; what is wrong inside the workshop is shown
// on its pages.
func Run(stop context.Context, opt Options) error {
	dir, err := opt.folder()
	if err != nil {
		return err
	}
	if opt.ShareScale != "" && opt.ReadOnly {
		return &exact.ValueError{What: "pages for reading weigh nothing",
			Fix: "leave out --read-only or --share-scale"}
	}
	if dir == "" && opt.ReadOnly {
		return &exact.ValueError{What: "no workshop is named, and none was opened before",
			Fix: "gallipot bench DIR --read-only"}
	}
	if dir != "" && !opt.ReadOnly { // pages for reading stand beside the workbench
		if address := askRunning(opt.Base, dir); address != "" {
			fmt.Fprintf(opt.Tell, "the workbench runs already for this folder: %s\n", address)
			return opt.browse(address)
		}
	}
	l, port, err := gate.Listen(opt.Port)
	if err != nil {
		if l, port, err = gate.Listen(0); err != nil {
			return err
		}
	}
	site := &frame.Site{Now: opt.Now, Base: opt.Base, ReadOnly: opt.ReadOnly, Log: opt.Tell}
	g := gate.New(port, opt.Now)
	b := &bench{opt: opt, gate: g, port: port, files: paper.NewReader()}
	defer b.end()
	site.Open = b.open
	if dir != "" {
		if err := b.open(site, dir); err != nil {
			return errors.Join(err, l.Close())
		}
	}
	handler, err := b.handler(site)
	if err != nil {
		return errors.Join(err, l.Close())
	}
	if opt.ShareScale != "" {
		end, err := b.share(stop, site)
		if err != nil {
			return errors.Join(err, l.Close())
		}
		defer end()
	}
	address := fmt.Sprintf("http://127.0.0.1:%d/", port)
	if opt.ReadOnly {
		fmt.Fprintln(opt.Tell, address)
	} else {
		fmt.Fprintf(opt.Tell, "http://127.0.0.1:%d%s?token=%s\n", port, gate.EnterPath, g.Token())
		address = b.address(g.Code())
	}
	served := make(chan error, 1)
	go func() { served <- gate.Serve(stop, l, handler, gate.UsualTimes()) }()
	if err := opt.browse(address); err != nil {
		fmt.Fprintln(opt.Tell, "no browser could be opened; open the address above in one on this computer")
	}
	return <-served
}

func (opt Options) browse(address string) error {
	if opt.Browse == nil {
		return nil
	}
	return opt.Browse(address)
}

// folder returns the folder to open: the one named, the one the program was started in, the
// one used last, or none.
func (opt Options) folder() (string, error) {
	if opt.Dir != "" {
		dir, err := filepath.Abs(opt.Dir)
		if err != nil {
			return "", err
		}
		if info, err := os.Stat(dir); err != nil || !info.IsDir() {
			return "", &exact.ValueError{What: "there is no folder " + opt.Dir,
				Fix: "name the folder of your workshop, or none to choose it in the browser"}
		}
		return dir, nil
	}
	if here, err := os.Getwd(); err == nil && isWorkshop(here) {
		return here, nil
	}
	if recent := readRecent(opt.Base); len(recent) > 0 && isWorkshop(recent[0].Dir) {
		return recent[0].Dir, nil
	}
	return "", nil
}

func isWorkshop(dir string) bool {
	info, err := os.Stat(filepath.Join(dir, "workshop.yaml"))
	return err == nil && store.Readable(info.Mode())
}

// bench is one start of the program.
type bench struct {
	pages http.Handler // of the site
	opt   Options
	gate  *gate.Gate
	port  int
	// files reads papers and draws pages of PDF; it starts with the first.
	files *paper.Reader
	store *history.Store
	dir   string
	// brought is what was dropped on the first page.
	brought brought
}

func (b *bench) address(code string) string {
	return "http://" + net.JoinHostPort("127.0.0.1", fmt.Sprint(b.port)) + gate.EnterPath + "?code=" + code
}

// open opens a workshop for the site and remembers that it was.
func (b *bench) open(site *frame.Site, dir string) error {
	store, err := history.Open(dir, b.opt.Base, b.opt.Now)
	if err != nil {
		return err
	}
	b.store, b.dir = store, dir
	site.Use(watched.Open(dir, b.opt.Law, b.opt.Today), store)
	if b.opt.ReadOnly {
		return nil
	}
	if err := rememberRunning(b.opt.Base, dir, running{b.port, b.gate.Token()}); err != nil {
		return err
	}
	return addRecent(b.opt.Base, dir, b.opt.Now())
}

func (b *bench) end() {
	b.files.Close()
	if b.store != nil {
		if !b.opt.ReadOnly {
			forgetRunning(b.opt.Base, b.dir)
		}
		_ = b.store.Close() // all is on disk
	}
}
