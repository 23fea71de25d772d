package source

// Same compares what two trees say, without places and quotes.
var Same = same
