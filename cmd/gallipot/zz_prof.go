package main

import ("os";"runtime/pprof";"runtime")
func init(){ if p:=os.Getenv("GPROF"); p!="" { runtime.SetCPUProfileRate(2000); f,_:=os.Create(p); pprof.StartCPUProfile(f); stopProf=func(){pprof.StopCPUProfile();f.Close()} } }
var stopProf=func(){}
