package frame

import (
	"context"
	"net/http"
)

// Share is the address at which the batch pages alone answer another device.
type Share struct {
	Address string
	Code    func() string
}

type sharedKey struct{}

// Shared marks requests that come from another device: their pages lead nowhere but to
// batches.
func Shared(pages http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/" {
			http.Redirect(w, r, "/batches", http.StatusSeeOther)
			return
		}
		pages.ServeHTTP(w, r.WithContext(context.WithValue(r.Context(), sharedKey{}, true)))
	})
}

// Shared says that another device asks.
func (v *Visit) Shared() bool { return v.R.Context().Value(sharedKey{}) != nil }

// AskCode shows the page of another device that has to type the code.
func (s *Site) AskCode(w http.ResponseWriter, again bool) {
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	if again {
		w.WriteHeader(http.StatusForbidden)
	}
	_ = s.pages.ExecuteTemplate(w, "askcode", again) // a browser that went away needs no answer
}
