//go:build unix

package main

import (
	"syscall"
	"time"
)

// spent is the processor time that the process has had, which other processes lengthen less than the clock.
func spent() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
