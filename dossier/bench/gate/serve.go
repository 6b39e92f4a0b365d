package gate

import (
	"context"
	"errors"
	"log"
	"net"
	"net/http"
	"time"
)

// times a request may take. A client that sends or reads more slowly is let go.
type times struct {
	Header, Read, Write, Idle time.Duration
}

// UsualTimes are those of the program: a pack of a large product is made well inside.
func UsualTimes() times {
	return times{Header: 10 * time.Second, Read: 60 * time.Second, Write: 90 * time.Second,
		Idle: 2 * time.Minute}
}

// Listen opens a port on this computer alone; 0 takes any that is free.
func Listen(port int) (net.Listener, int, error) {
	l, err := net.ListenTCP("tcp", &net.TCPAddr{IP: net.IPv4(127, 0, 0, 1), Port: port})
	if err != nil {
		return nil, 0, err
	}
	return l, l.Addr().(*net.TCPAddr).Port, nil
}

// Serve answers until stop is done, and lets what is under way come to its end.
func Serve(stop context.Context, l net.Listener, h http.Handler, t times) error {
	server := &http.Server{Handler: h, ReadHeaderTimeout: t.Header, ReadTimeout: t.Read, WriteTimeout: t.Write,
		IdleTimeout: t.Idle, MaxHeaderBytes: maxHeader, ErrorLog: log.New(discard{}, "", 0)}
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
		return errors.Join(server.Close())
	}
	return nil
}

// discard drops what the server says about broken connections of clients.
type discard struct{}

func (discard) Write(p []byte) (int, error) { return len(p), nil }
