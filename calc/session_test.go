package calc

import (
	"sync"

	"gallipot/calc/law"
)

var builtinSession = sync.OnceValue(func() *Session { return NewSession(law.Builtin()) })

// testSession is the session of the tests over the program's own tables, one for
// all of them; other tables get a session of their own.
func testSession(tables *law.Tables) *Session {
	if tables == law.Builtin() {
		return builtinSession()
	}
	return NewSession(tables)
}
