import { bundle } from "../bundle.ts";

export const GET = () => bundle("src/walk/element.ts");
