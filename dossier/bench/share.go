package bench

import (
	"context"
	"fmt"
	"net"
	"strconv"
	"strings"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/bench/gate"
)

// shared says which pages another device may ask for: batches, and what a page is made of.
func shared(path string) bool {
	for _, place := range []string{"/scale", "/batch"} {
		if path == place || strings.HasPrefix(path, place+"/") {
			return true
		}
	}
	return path == "/" || path == "/batches" || path == "/number" || strings.HasPrefix(path, "/look/")
}

// share opens the address for other devices and says where it is and by which code. end
// closes it.
func (b *bench) share(stop context.Context, site *frame.Site) (end func(), err error) {
	l, host, port, err := gate.ListenAt(b.opt.ShareScale, b.port+1)
	if err != nil {
		return nil, err
	}
	g := gate.NewShared(host, port, b.opt.Now, shared)
	g.Refused, g.Ask = frame.Refusal, site.AskCode
	site.Share = &frame.Share{Address: "http://" + net.JoinHostPort(host, strconv.Itoa(port)), Code: g.DoorCode}
	fmt.Fprintf(b.opt.Tell, "batches on another device: %s, code %s\n", site.Share.Address, g.DoorCode())
	fmt.Fprintln(b.opt.Tell,
		"whoever is on the network and has the code can fill in batch records; nothing on the way is encrypted")
	served := make(chan error, 1)
	until, cancel := context.WithCancel(stop)
	go func() { served <- gate.Serve(until, l, g.Handler(frame.Shared(b.pages)), gate.UsualTimes()) }()
	return func() { cancel(); <-served }, nil
}
