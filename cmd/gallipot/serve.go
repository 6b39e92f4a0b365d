package main

import (
	"context"
	"fmt"
	"net"
	"net/http"
	"os/signal"
	"strconv"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"gallipot/dossier/assess"
	"gallipot/dossier/store"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// usualPort is where pages are shown if no other port is named.
const usualPort = 4680

// serveVerb shows the workshop in a browser on this computer.
func (c *command) serveVerb() *cobra.Command {
	var port int
	v := c.verb("serve", func([]string) error { return c.serve(port) })
	v.Args = func(_ *cobra.Command, args []string) error {
		if len(args) > 0 {
			return &usageError{"serve shows the whole workshop and takes no name", "gallipot serve, and choose the product in the browser"}
		}
		return nil
	}
	v.Flags().IntVar(&port, "port", usualPort, "port on this computer; 0: any that is free")
	v = c.shared(v)
	v.Flags().Lookup("json").Hidden = true // pages are for people
	return v
}

func (c *command) serve(port int) error {
	if port < 0 || port > 65535 {
		return &usageError{fmt.Sprintf("--port %d is no port", port), "give a number from 1024 to 65535, or 0 for any that is free"}
	}
	opt, err := c.options()
	if err != nil {
		return err
	}
	if w, findings := workshop.Load(c.workshop, opt.Law); w == nil {
		c.ui.findings(c.ui.errout, nil, findings)
		c.exit = exitUnreadable
		return nil
	}
	// the address of this computer alone: nothing outside it reaches the pages
	l, err := net.Listen("tcp", net.JoinHostPort("127.0.0.1", strconv.Itoa(port)))
	if err != nil {
		return &usageError{fmt.Sprintf("port %d cannot be used: %s", port, store.Reason(err)), "end the program that has it, or give another with --port; --port 0 takes any that is free"}
	}
	stop, end := signal.NotifyContext(context.Background(), syscall.SIGINT, syscall.SIGTERM)
	defer end()
	fmt.Fprintf(c.ui.out, "http://%s/\n", l.Addr())
	fmt.Fprintln(c.ui.errout, "open this address in a browser on this computer; end with Ctrl-C")
	return answer(stop, l, newSite(c.workshop, c.optionsAt))
}

// optionsAt are the options of a page asked for now: a program that runs past
// midnight goes on with the law of the new day.
func (c *command) optionsAt() (assess.Options, error) {
	opt, err := c.options()
	if c.date == "" {
		opt.Date = max(c.today, exact.DateOf(time.Now()))
	}
	return opt, err
}

// answer answers until stop is done, and lets what is under way come to its end.
func answer(stop context.Context, l net.Listener, h http.Handler) error {
	server := &http.Server{Handler: h, ReadHeaderTimeout: 10 * time.Second, MaxHeaderBytes: 64 << 10}
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(l) }()
	select {
	case err := <-failed:
		return err
	case <-stop.Done():
	}
	patience, end := context.WithTimeout(context.Background(), 10*time.Second)
	defer end()
	if err := server.Shutdown(patience); err != nil {
		return server.Close()
	}
	return nil
}
