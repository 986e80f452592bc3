// The desk works without this; it spares the reader a reload.
import './live.js';
import './trial.js';
import './drop.js';
import './figure.js';
