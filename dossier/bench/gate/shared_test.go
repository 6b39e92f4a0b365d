package gate

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func TestShared(t *testing.T) {
	g := NewShared("192.168.1.20", 4691, time.Now,
		func(p string) bool { return p == "/" || strings.HasPrefix(p, "/scale") })
	h := g.Handler(pages())
	var cookies []*http.Cookie
	send := func(method, path, host string, form url.Values) *httptest.ResponseRecorder {
		r := httptest.NewRequest(method, "http://"+host+path, strings.NewReader(form.Encode()))
		r.Host = host
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		for _, c := range cookies {
			r.AddCookie(c)
		}
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		return w
	}
	const host = "192.168.1.20:4691"
	code := g.DoorCode()
	require.Regexp(t, regexp.MustCompile(`^[2-9A-Z]{4}-[2-9A-Z]{4}$`), code)
	t.Run("without the code", func(t *testing.T) {
		require.Equal(t, "code", send("GET", "/", host, nil).Body.String())
		for _, path := range []string{"/scale", "/product/x", "/text/workshop.yaml"} {
			require.Equal(t, http.StatusForbidden, send("GET", path, host, nil).Code, path)
			require.Equal(t, http.StatusForbidden, send("POST", path, host, nil).Code, path)
		}
		require.Equal(t, http.StatusForbidden, send("GET", "/", "evil.example:4691", nil).Code)
		require.Equal(t, http.StatusForbidden, send("GET", "/", "127.0.0.1:4691", nil).Code)
	})
	t.Run("with the code: the batch pages and no other", func(t *testing.T) {
		w := send("POST", EnterPath, host, url.Values{"code": {strings.ToLower(strings.ReplaceAll(code, "-", " "))}})
		require.Equal(t, http.StatusSeeOther, w.Code)
		cookies = w.Result().Cookies()
		require.Equal(t, http.SameSiteStrictMode, cookies[0].SameSite)
		require.Equal(t, http.StatusOK, send("GET", "/scale/X", host, nil).Code)
		require.Equal(t, http.StatusOK, send("POST", "/scale/X", host, nil).Code)
		require.Equal(t, http.StatusNotFound, send("GET", "/product/x", host, nil).Code)
		require.Equal(t, http.StatusNotFound, send("POST", "/undo", host, nil).Code)
		cookies = nil
	})
	t.Run("after several wrong codes it is another one", func(t *testing.T) {
		for range mostWrong {
			require.Equal(t, "again", send("POST", EnterPath, host, url.Values{"code": {"AAAA-AAAA"}}).Body.String())
		}
		require.NotEqual(t, code, g.DoorCode())
		require.Equal(t, "again", send("POST", EnterPath, host, url.Values{"code": {code}}).Body.String())
	})
}

func TestListenAt(t *testing.T) {
	for _, bad := range []string{"", "0.0.0.0", "::", "8.8.8.8", "my-computer", "192.168.1.20:many", "224.0.0.1"} {
		_, _, _, err := ListenAt(bad, 0)
		require.Error(t, err, bad)
	}
	l, host, port, err := ListenAt("127.0.0.1:0", 4691)
	require.NoError(t, err)
	require.Equal(t, "127.0.0.1", host)
	require.NotEqual(t, 4691, port)
	require.NoError(t, l.Close())
}
