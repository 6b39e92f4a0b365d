// Package pattern holds regular expressions that are compiled when they are first used. A
// run of the program meets a few of some two hundred: to compile all of them took a fifth of
// what it takes to start.
//
// A test of cmd/gallipot compiles every one: an expression is written where it is made, as a
// literal.
package pattern

import (
	"regexp"
	"sync"
)

// Pattern is a regular expression.
type Pattern struct {
	text     string
	once     sync.Once
	compiled *regexp.Regexp
}

// New returns the pattern of an expression, which has to be right.
func New(expression string) *Pattern { return &Pattern{text: expression} }

// Regexp returns the expression compiled.
func (p *Pattern) Regexp() *regexp.Regexp {
	p.once.Do(func() { p.compiled = regexp.MustCompile(p.text) })
	return p.compiled
}

// MatchString is that of [regexp.Regexp].
func (p *Pattern) MatchString(s string) bool { return p.Regexp().MatchString(s) }

// FindString is that of [regexp.Regexp].
func (p *Pattern) FindString(s string) string { return p.Regexp().FindString(s) }

// FindStringIndex is that of [regexp.Regexp].
func (p *Pattern) FindStringIndex(s string) []int { return p.Regexp().FindStringIndex(s) }

// FindStringSubmatch is that of [regexp.Regexp].
func (p *Pattern) FindStringSubmatch(s string) []string { return p.Regexp().FindStringSubmatch(s) }

// FindStringSubmatchIndex is that of [regexp.Regexp].
func (p *Pattern) FindStringSubmatchIndex(s string) []int {
	return p.Regexp().FindStringSubmatchIndex(s)
}

// FindAllString is that of [regexp.Regexp].
func (p *Pattern) FindAllString(s string, n int) []string { return p.Regexp().FindAllString(s, n) }

// FindAllStringIndex is that of [regexp.Regexp].
func (p *Pattern) FindAllStringIndex(s string, n int) [][]int {
	return p.Regexp().FindAllStringIndex(s, n)
}

// FindAllStringSubmatch is that of [regexp.Regexp].
func (p *Pattern) FindAllStringSubmatch(s string, n int) [][]string {
	return p.Regexp().FindAllStringSubmatch(s, n)
}

// FindSubmatch is that of [regexp.Regexp].
func (p *Pattern) FindSubmatch(b []byte) [][]byte { return p.Regexp().FindSubmatch(b) }

// Find is that of [regexp.Regexp].
func (p *Pattern) Find(b []byte) []byte { return p.Regexp().Find(b) }

// FindAll is that of [regexp.Regexp].
func (p *Pattern) FindAll(b []byte, n int) [][]byte { return p.Regexp().FindAll(b, n) }

// FindAllSubmatch is that of [regexp.Regexp].
func (p *Pattern) FindAllSubmatch(b []byte, n int) [][][]byte {
	return p.Regexp().FindAllSubmatch(b, n)
}

// ReplaceAllString is that of [regexp.Regexp].
func (p *Pattern) ReplaceAllString(s, by string) string { return p.Regexp().ReplaceAllString(s, by) }

// ReplaceAllStringFunc is that of [regexp.Regexp].
func (p *Pattern) ReplaceAllStringFunc(s string, by func(string) string) string {
	return p.Regexp().ReplaceAllStringFunc(s, by)
}

// ReplaceAllFunc is that of [regexp.Regexp].
func (p *Pattern) ReplaceAllFunc(b []byte, by func([]byte) []byte) []byte {
	return p.Regexp().ReplaceAllFunc(b, by)
}

// ReplaceAll is that of [regexp.Regexp].
func (p *Pattern) ReplaceAll(b, by []byte) []byte { return p.Regexp().ReplaceAll(b, by) }

// Split is that of [regexp.Regexp].
func (p *Pattern) Split(s string, n int) []string { return p.Regexp().Split(s, n) }
