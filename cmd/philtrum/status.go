package main

// status is the exit status of the command.
type status int

// Exit statuses. A script may rely on them.
const (
	statusDone    status = 0 // everything asked for was done
	statusHeld    status = 1 // the data has problems, or a visit is held
	statusUsage   status = 2 // the command was called wrongly
	statusFailure status = 3 // the tool or the disk failed
)
