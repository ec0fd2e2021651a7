// The sound of the microphone in blocks, from the thread that has it to the page. What is heard is not played.

const BLOCK = 1024;

class Tap extends AudioWorkletProcessor {
  constructor() {
    super();
    this.block = new Float32Array(BLOCK);
    this.filled = 0;
  }

  process([[sound]]) {
    for (const value of sound ?? []) {
      this.block[this.filled] = value;
      this.filled += 1;
      if (this.filled === BLOCK) {
        this.port.postMessage(this.block);
        this.filled = 0;
      }
    }
    return true;
  }
}

registerProcessor("tap", Tap);
