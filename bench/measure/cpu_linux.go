package main

import (
	"runtime"
	"syscall"
	"time"
	"unsafe"
)

// cpuTime is the processor time of the calling thread, which stays the same
// whatever else runs on the machine. The caller keeps to its thread.
func cpuTime() time.Duration {
	const ofThisThread = 3 // CLOCK_THREAD_CPUTIME_ID
	var t syscall.Timespec
	_, _, _ = syscall.Syscall(syscall.SYS_CLOCK_GETTIME, ofThisThread, uintptr(unsafe.Pointer(&t)), 0) // cannot fail: the clock is there since Linux 2.6
	return time.Duration(t.Nano())
}

// keepThread binds a worker to its thread.
func keepThread() { runtime.LockOSThread() }
