package bench

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"time"

	"gallipot/dossier/bench/gate"
	"gallipot/dossier/edit/history"
)

// running is what a start leaves for the next one: where it answers, and its token. Only
// the user can read it.
type running struct {
	Port  int    `json:"port"`
	Token string `json:"token"`
}

func runningFile(base, dir string) (string, error) {
	folder, err := history.Folder(base, dir)
	return filepath.Join(folder, "running.json"), err
}

func rememberRunning(base, dir string, r running) error {
	name, err := runningFile(base, dir)
	if err != nil {
		return err
	}
	return writeOwn(name, r)
}

func forgetRunning(base, dir string) {
	if name, err := runningFile(base, dir); err == nil {
		_ = os.Remove(name) // a next start asks whether it answers
	}
}

// askRunning asks a start that is under way for the folder to let one more browser in, and
// returns the address to open; "" where none answers.
func askRunning(base, dir string) string {
	name, err := runningFile(base, dir)
	if err != nil {
		return ""
	}
	var r running
	if data, err := os.ReadFile(name); err != nil || json.Unmarshal(data, &r) != nil || r.Port <= 0 ||
		r.Port > 65535 {
		return ""
	}
	where := fmt.Sprintf("http://127.0.0.1:%d", r.Port)
	q, err := http.NewRequest(http.MethodPost, where+"/code", nil)
	if err != nil {
		return ""
	}
	q.Header.Set(gate.TokenHeader, r.Token)
	client := http.Client{Timeout: 3 * time.Second,
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	answer, err := client.Do(q)
	if err != nil {
		return ""
	}
	defer answer.Body.Close()
	code, err := io.ReadAll(io.LimitReader(answer.Body, 100))
	if err != nil || answer.StatusCode != http.StatusOK || len(code) != 43 {
		return ""
	}
	return where + gate.EnterPath + "?code=" + string(code)
}

// recent is a workshop that was opened before.
type recent struct {
	Dir  string    `json:"dir"`
	Time time.Time `json:"time"`
}

// How many workshops are remembered.
const mostRecent = 8

func readRecent(base string) []recent {
	var list []recent
	data, err := os.ReadFile(filepath.Join(base, "recent.json"))
	if err != nil || json.Unmarshal(data, &list) != nil {
		return nil
	}
	return list
}

func addRecent(base, dir string, now time.Time) error {
	list := slices.DeleteFunc(readRecent(base), func(r recent) bool { return r.Dir == dir })
	list = append([]recent{{dir, now.Truncate(time.Second)}}, list...)
	return writeOwn(filepath.Join(base, "recent.json"), list[:min(len(list), mostRecent)])
}

// writeOwn writes a file of the program's folder, whole or not at all, for its user alone.
func writeOwn(name string, value any) error {
	data, err := json.MarshalIndent(value, "", " ")
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(name), 0o700); err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(name), "."+filepath.Base(name)+".*.part") // mode 0600
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = os.Rename(f.Name(), name)
	}
	if err != nil {
		_ = os.Remove(f.Name())
	}
	return err
}
