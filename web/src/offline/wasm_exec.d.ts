// The glue that the Go distribution brings for programs in a browser. The asset
// bundler takes it from there.
declare module "wasm_exec";
