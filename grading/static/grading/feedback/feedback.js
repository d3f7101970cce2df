import "./copy-time.js";
import "./recording-player.js";
