//go:build !unix

package main

import "time"

func spent() time.Duration { return 0 }
